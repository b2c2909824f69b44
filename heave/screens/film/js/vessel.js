// The whole rig to scale: hull and derrick on the waves, riser, seabed, hole. Water and hole are cut short, and say so.

const GRAVITY = 9.80665
const RIG = { width: 84, deck: 21, top: 84, draught: 21, room: 96 } // of the vessel that is drawn [m], heights from the waterline
const SHIP = [[20, 12], [17.5, 0], [16.5, -8], [13, -11.5]] // half her breadth at heights from the waterline [m]
const SEABED_PLACE = 0.4 // of the way from the water to the foot of the picture
const FOOT = 34

function makeVessel(film) {
  const colours = paletteOf(film)
  const pen = makePen(colours, colours.text, NO_DASH, false)
  // Waves in deep water run at g T / 2π: what is further on now was at the hull so much earlier.
  const pace = GRAVITY * film.sea.period / (2 * Math.PI)
  const { water_depth: depth } = film.sides[0].machine
  const vessel = { x: 0, width: 0, height: 0, scale: 1 }

  vessel.arrange = (x, width, height, sharp) => {
    const scale = width / RIG.room
    Object.assign(vessel, { x, width, height, scale, axis: x + width / 2, water: SIZE.head + 8 + scale * (RIG.top + 4) })
    vessel.seabed = vessel.water + SEABED_PLACE * (height - vessel.water)
    vessel.foot = height - FOOT
    vessel.bits = bitPlaces()
    vessel.back = stillCanvas(width, height - vessel.seabed, sharp, drawBack)
    vessel.front = stillCanvas(width, height, sharp, drawFront)
    vessel.hull = stillCanvas(width, scale * (RIG.top + RIG.draught) + 12, sharp, drawHull)
  }

  // The deepest bit stands at the foot, one less deep as much of the hole higher.
  function bitPlaces() {
    const below = film.sides.map(side => Math.max(side.machine.depth - (depth ?? 0), 1))
    return below.map(each => vessel.seabed + (vessel.foot - vessel.seabed) * each / Math.max(...below))
  }

  function drawBack(context) {
    const { width, height, seabed, foot } = vessel, axis = width / 2
    context.translate(0, -seabed)
    hatch(context, colours, 0, seabed, width, height - seabed, 10)
    context.fillStyle = colours.mud
    context.fillRect(axis - 5, seabed, 10, (foot - seabed) * 0.45)
    context.fillRect(axis - 3.5, seabed, 7, foot - seabed)
    rule(context, pen, axis - 5, seabed, axis - 5, seabed + (foot - seabed) * 0.45, 2)
    rule(context, pen, axis + 5, seabed, axis + 5, seabed + (foot - seabed) * 0.45, 2)
    rule(context, pen, 0, seabed, width, seabed, 1.5)
  }

  function drawFront(context) {
    const { width, seabed, water, foot, scale } = vessel, axis = width / 2, small = { size: width < 150 ? 11 : 12 }
    const middle = (water + scale * RIG.draught + seabed) / 2
    breakMark(context, colours, axis, middle, 12)
    breakMark(context, colours, axis, (seabed + foot) / 2, 12)
    if (width > 180) {
      words(context, colours, "Derrick", axis + scale * 10, water - scale * (RIG.top - 18), small)
      words(context, colours, "Hull", axis + scale * 4, water - scale * 4 - 2, small)
    }
    const at = axis + (width < 150 ? 9 : 14), under = { ...small, colour: colours.muted }
    words(context, colours, "Riser", at, middle + 14, small)
    words(context, colours, "Seabed", at, seabed + 12, small)
    words(context, colours, depth === null ? "no depth" : shown(film, "length", depth, 0), at, seabed + 26, under)
    vessel.bits.forEach((place, n) => {
      const same = vessel.bits.every(each => each === place)
      if (n && same) return
      words(context, colours, same ? "Bit" : `Bit ${film.sides[n].letter}`, at, place - 8, { ...small, bold: true })
      words(context, colours, shown(film, "length", film.sides[n].machine.depth, 0), at, place + 6, under)
    })
    words(context, colours, "Hole", axis - 12, (seabed + foot) / 2 + 16, { ...small, align: "right" })
    if (!film.sea.known) words(context, colours, "waves not known", 6, water + 12, { size: 11, colour: colours.muted })
  }

  // Hull and derrick, drawn once; the frame only sets them higher or lower.
  function drawHull(context) {
    const { scale: s, width } = vessel, axis = width / 2, up = metres => s * (RIG.top - metres) + 6
    const part = (left, right, low, high, fill, round) =>
      box(context, pen, axis + s * left, up(high), s * (right - left), s * (high - low), fill, round)
    const line = (x, y, toX, toY, wide) => rule(context, pen, axis + s * x, up(y), axis + s * toX, up(toY), wide)
    if (film.hull === "ship") drawShip(context, axis, s, up, part, line)
    else drawColumns(part, line)
    part(-12, 12, RIG.deck, RIG.deck + 5, colours.steel)
    for (const side of [-1, 1]) {
      line(side * 8, RIG.deck + 5, side * 3, RIG.top - 2, 1.5)
      for (let rung = 0; rung < 7; rung++) {
        const low = RIG.deck + 5 + rung * 8, out = 8 - rung * 0.71
        line(side * out, low, -side * (out - 0.71), low + 8, 0.6)
      }
    }
    part(-4.5, 4.5, RIG.top - 2, RIG.top, colours.shade)
  }

  // A semisubmersible from ahead: pontoons under water, columns, the deck box they carry, a helideck and a crane.
  function drawColumns(part, line) {
    const { steel, shade } = colours, half = RIG.width / 2
    part(-half + 4, -half + 18, -RIG.draught + 8, RIG.deck - 8, steel)
    part(half - 18, half - 4, -RIG.draught + 8, RIG.deck - 8, steel)
    part(-half + 1, -half + 21, -RIG.draught, -RIG.draught + 9, shade, 3)
    part(half - 21, half - 1, -RIG.draught, -RIG.draught + 9, shade, 3)
    part(-half, half, RIG.deck - 9, RIG.deck, steel, 2)
    part(-half + 3, -half + 20, RIG.deck, RIG.deck + 9, shade, 1)
    part(-half - 1, -half + 9, RIG.deck + 10.5, RIG.deck + 12, shade)
    line(24, RIG.deck, 24, RIG.deck + 13, 2)
    line(24, RIG.deck + 13, 40, RIG.deck + 26, 1.4)
  }

  // A ship from ahead: flared sides, the bridge across her, a crane each side, and the drill floor on its legs.
  function drawShip(context, axis, s, up, part, line) {
    const { steel, shade } = colours
    startPath(context, pen, 1.2)
    for (const [out, height] of SHIP) context.lineTo(axis + s * out, up(height))
    for (const [out, height] of SHIP.toReversed()) context.lineTo(axis - s * out, up(height))
    context.closePath()
    endPath(context, pen, steel)
    line(-17.6, 1.5, 17.6, 1.5, 1)
    part(-17, 17, 12, 16, shade, 1)
    part(-20, 20, 16, 18.5, steel, 1)
    for (const side of [-1, 1]) {
      line(side * 10, 12, side * 10, RIG.deck, 2.4)
      line(side * 16, 18.5, side * 16, 29, 2)
      line(side * 16, 29, side * 33, 37, 1.4)
    }
  }

  vessel.draw = (context, time, drawn) => {
    const { x, width, height, water, scale, axis, seabed } = vessel
    context.fillStyle = colours.sky
    context.fillRect(x, 0, width, seabed)
    context.drawImage(vessel.back, x, seabed, width, height - seabed)
    const heave = sampleAt(film, film.sides[0], "heave", time)
    const lift = scale * heave, hullTop = water - scale * RIG.top - 6 - lift
    drawWater(context, time)
    riser(context, lift)
    context.drawImage(vessel.hull, x, hullTop, width, scale * (RIG.top + RIG.draught) + 12)
    drawFrontWater(context)
    const hook = water - scale * (RIG.deck + 24) - scale * sampleAt(film, film.sides[0], "hook", time)
    rule(context, pen, axis, water - scale * (RIG.top - 2) - lift, axis, hook, 1)
    box(context, pen, axis - 2.2 * scale, hook - 3 * scale, 4.4 * scale, 5 * scale, colours.text, 1)
    rule(context, pen, axis, hook, axis, Math.max(...vessel.bits), 1.4)
    for (const place of vessel.bits) box(context, pen, axis - 3, place - 5, 6, 6, colours.text)
    context.drawImage(vessel.front, x, 0, width, height)
    drawn.hull = water - lift
    drawn.water = vessel.surface[Math.round(width / 2 / WAVE_STEP)]
  }

  // Riser with its slip joint: the outer barrel stands on the seabed, the inner one rides with the vessel.
  function riser(context, lift) {
    const { axis, water, seabed, scale } = vessel, joint = water + scale * (RIG.draught * 0.5)
    box(context, pen, axis - 2.2, water - scale * RIG.deck - lift, 4.4, joint - water + scale * RIG.deck + lift + 8, colours.steel)
    box(context, pen, axis - 4, joint, 8, seabed - joint - 12, colours.shade)
    box(context, pen, axis - 8, seabed - 14, 16, 14, colours.steel, 2)
    box(context, pen, axis - 6, seabed - 20, 12, 6, colours.shade, 1)
  }

  const WAVE_STEP = 4
  vessel.surface = []
  function drawWater(context, time) {
    const { x, width, water, scale, seabed, axis } = vessel
    const many = Math.ceil(width / WAVE_STEP) + 1
    context.beginPath()
    for (let n = 0; n < many; n++) {
      const away = (x + n * WAVE_STEP - axis) / scale
      const level = film.sea.surface ? between(film, film.sea.surface, time - away / pace) : 0
      vessel.surface[n] = water - scale * level
      context.lineTo(Math.min(x + n * WAVE_STEP, x + width), vessel.surface[n])
    }
    context.lineTo(x + width, seabed)
    context.lineTo(x, seabed)
    context.fillStyle = colours.water
    context.fill()
  }

  // Water before the hull, thin enough to see what floats, and the line of the surface.
  function drawFrontWater(context) {
    const { x, width, surface, water, scale } = vessel, foot = water + scale * RIG.draught + 4
    context.beginPath()
    for (let n = 0; n < surface.length; n++) context.lineTo(Math.min(x + n * WAVE_STEP, x + width), surface[n])
    context.strokeStyle = colours.swell
    context.lineWidth = 2
    context.setLineDash(NO_DASH)
    context.stroke()
    context.lineTo(x + width, foot)
    context.lineTo(x, foot)
    context.globalAlpha = 0.4
    context.fillStyle = colours.water
    context.fill()
    context.globalAlpha = 1
  }
  return vessel
}
