// The picture: the whole rig to scale, and beside it stroke, stretch and bit magnified, one set-up or two.

const FLASH = 0.9 // for which a blow stays to be seen [s]
const SAID = 2.5 // for which its words stay [s]
const LOCKING = 0.4 // in which the bars go home [s]
const BULB = 42 // radius of the bulb of pressure at the greatest force of the film [px]
const DIGIT = 0.68 // width of a bold digit, of its height
const ROOM_FOR_NAMES = 108 // beside the rig; with less, names are short [px]
const ROOM_FOR_FLOOR = 76 // px
const TOLD = ["crown", "block", "cylinder", "piston", "hook", "floor", "bit", "bed", "run", "stretch"]

function makeMachine(film) {
  const colours = paletteOf(film), two = film.sides.length > 1
  const vessel = makeVessel(film)
  const machine = { laid: false, drawn: {} }
  const most = Math.max(...film.sides.map(side => side.signals.bit_force.reduce((a, b) => Math.max(a, b), 1)))
  const acting = film.sides.map(side => side.signals.active_force?.reduce((a, b) => Math.max(a, Math.abs(b)), 1) ?? 1)
  const tellings = film.sides.map(side => {
    const landed = landings(film, side), struck = raisedAt(film, side, AT_END)
    return { landed, landedAt: landed.map(each => each.time), struck, locked: raisedAt(film, side, LOCKED), shut: side.shut[1]?.[0] ?? Infinity }
  })
  const loud = { size: 12.5, bold: true, colour: colours.over, align: "center" }
  let made = null

  machine.height = width => (width < 480 ? 560 : 620)

  function arrange(context, width, height) {
    const sharp = context.getTransform().a
    const whole = Math.round(Math.min(Math.max(width * (two && !machine.laid ? 0.27 : 0.36), 106), 250))
    vessel.arrange(0, whole, height, sharp)
    const layouts = layOut(film, height)
    const seen = two && !machine.laid ? 2 : 1, room = (width - whole) / seen
    const panels = film.sides.map((side, n) => {
      const x = whole + (seen === 2 ? n * room : 0), k = Math.min(Math.max(room / 300, 0.42), 1.2)
      const pen = makePen(colours, side.colour, side.dash, machine.laid && n === 1)
      const axis = x + Math.max(room * 0.4, 116 * k)
      const at = axis + 44 * k, wide = layouts[n].kind === "under the crown" ? axis + 74 * k : at // of the names of parts
      const short = from => x + room - from < ROOM_FOR_NAMES
      const stands = { side, n, x, room, k, axis, pen, layout: layouts[n], told: tellings[n] }
      return { ...stands, now: {}, labels: [], at, wide, narrow: short(at), tight: short(wide) }
    })
    const still = stillCanvas(width, height, sharp, still => drawStill(still, panels, whole, width, height))
    made = { width, height, laid: machine.laid, panels, still, whole }
    machine.drawn.scale = layouts[0].scale
    machine.drawn.bitTimes = layouts[0].bitTimes
    machine.drawn.whole = vessel.scale
  }

  function drawStill(context, panels, whole, width, height) {
    context.fillStyle = colours.sky
    context.fillRect(0, 0, width, height)
    for (const panel of panels) if (!panel.pen.ghost) drawGround(context, panel, height)
    const pen = makePen(colours, colours.text, NO_DASH, false)
    context.globalAlpha = 0.35
    for (const panel of panels) if (panel.x > 0) rule(context, pen, panel.x, 0, panel.x, height, 1)
    context.globalAlpha = 1
    drawScales(context, panels, whole)
  }

  // Rock with its hole, and the places of joints at rest to hold the stretch against.
  function drawGround(context, { side, x, room, axis, k, layout }, height) {
    const end = side.machine.contact === "none" ? height : layout.place.bit // a string that hangs free has hole below it
    const { bed: top, water } = layout.place
    context.fillStyle = colours.water
    context.fillRect(x, water, room, top - water)
    hatch(context, colours, x, top, room, height - top)
    context.fillStyle = colours.mud
    context.fillRect(axis - 15 * k, water, 30 * k, end - water)
    const pen = makePen(colours, colours.text, NO_DASH, false), line = makePen({ ...colours, edge: colours.swell }, null, NO_DASH, false)
    rule(context, line, x, water, x + room, water, 1.5)
    for (const edge of [-1, 1]) rule(context, pen, axis + edge * 15 * k, water, axis + edge * 15 * k, end, 1)
    const hook = layout.place.hook + SIZE.hook, low = layout.place.bit - SIZE.bit - SIZE.collars
    context.globalAlpha = 0.6
    for (let joint = 1; joint < JOINTS; joint++) {
      const y = hook + (low - hook) * joint / JOINTS
      if (y > layout.place.floor + SIZE.floor + 4) rule(context, pen, axis - 24 * k, y, axis - 15 * k, y, 1)
    }
    context.globalAlpha = 1
    if (room > 200) words(context, colours, "at rest", axis - 28 * k, low - 8, { size: 11, colour: colours.muted, align: "right" })
  }

  function drawScales(context, panels, whole) {
    const { scale, bitTimes } = panels[0].layout, { symbol, factor } = film.units.length
    const long = pixels => [100, 50, 20, 10, 5, 2, 1, 0.5, 0.2, 0.1].find(each => each * factor * pixels <= 64) ?? 0.1
    const bar = (x, y, perMetre, text) => {
      const length = long(perMetre)
      scaleBar(context, colours, x, y, length * factor * perMetre, `${length} ${symbol}`)
      words(context, colours, text, x, y - 17, { size: 11.5, bold: true })
    }
    bar(10, 32, vessel.scale, whole < 150 ? "To scale" : "The whole, to scale")
    const apart = two && !machine.laid
    for (const panel of panels) {
      const { x, room, narrow, side, pen } = panel
      if (two) {
        const y = apart ? 24 : 18 + 26 * panel.n, left = apart ? x + 18 : x + room / 2 + 12
        drawLetter(context, panel, left, y)
        if (!apart) words(context, colours, fitted(context, `${side.label}${pen.ghost ? ", dashed" : ""}`, room / 2 - 34), left + 18, y)
        else if (room >= 190) words(context, colours, fitted(context, side.label, room - 20), x + 8, 52, { colour: colours.muted })
      }
      if (pen.ghost) continue
      const times = `× ${Math.round(scale / vessel.scale)}`
      bar(x + (apart ? 36 : 12), 32, scale, panel.room < 200 ? times : `Movement ${times}`)
      const off = bitTimes > 1 ? `${narrow ? "Bit off" : "Bit off the rock"}: × ${bitTimes}${narrow ? "" : " more"}` : ""
      words(context, colours, off, x + room - 6, panel.layout.height - 10, { size: 11.5, bold: true, align: "right" })
    }
  }

  // A in a square, B in a round: told apart in grey too.
  function drawLetter(context, { side }, x, y) {
    const pen = makePen(colours, side.colour, NO_DASH, false)
    if (side.letter === "A") box(context, pen, x - 11, y - 11, 22, 22, side.colour, 3)
    else wheel(context, pen, x, y, 11.5, side.colour)
    context.font = `700 14px ${FACE}`
    context.textAlign = "center"
    context.textBaseline = "middle"
    context.fillStyle = colours.halo
    context.fillText(side.letter, x, y + 0.5)
  }

  machine.draw = (context, width, height, time) => {
    if (!made || made.width !== width || made.height !== height || made.laid !== machine.laid) arrange(context, width, height)
    copyStill(context, made.whole, width - made.whole, height)
    vessel.draw(context, time, machine.drawn)
    copyStill(context, 0, made.whole, 44) // the head of the whole view, over what moves in it
    for (const panel of made.panels) drawPanel(context, panel, time)
    for (const panel of made.panels) drawLabels(context, panel, time)
    return machine.drawn
  }

  // Copies only what shows: most of a frame's time goes into dots.
  function copyStill(context, x, width, height) {
    const sharp = made.still.width / made.width
    context.drawImage(made.still, x * sharp, 0, width * sharp, height * sharp, x, 0, width, height)
  }

  function drawPanel(context, panel, time) {
    const { side, pen, axis, k, layout, now, x, room, told } = panel, { machine: unit } = side
    placesAt(film, side, layout, time, now)
    context.save()
    context.beginPath()
    context.rect(x, 0, room, layout.height)
    context.clip()
    const kind = layout.kind
    const derrick = kind === "under the crown" ? now.cylinder + 2 * SIZE.cap + layout.place.inside : now.crown
    if (!pen.ghost) {
      const radius = Math.min(Math.max(DRUM_RADIUS * layout.scale, 13), 24) * Math.max(k, 0.7)
      drawFloor(context, pen, axis, k, derrick, now.floor)
      drawDrum(context, pen, axis, k, radius, layout, now)
      drawLines(context, pen, axis, k, now.crown, now.block, unit.lines, now.paid * layout.scale)
    }
    drawCrown(context, pen, axis, k, now.crown)
    if (now.piston !== null) drawBottles(context, pen, axis, k, layout, now, shutBottles(side, time))
    if (kind === "under the crown") drawUnderCrown(context, pen, axis, k, layout, now, unit.active)
    drawBlock(context, pen, axis, k, now.block)
    if (kind === "under the block") drawUnderBlock(context, pen, axis, k, layout, now, unit.active)
    else rule(context, pen, axis, now.block, axis, now.hook, 6 * k)
    drawState(context, panel, time)
    const bulb = BULB * Math.sqrt(Math.max(now.bitForce, 0) / most)
    if (unit.contact === "one-sided") now.bed = drawRock(context, pen, axis, k, layout, now, bulb)
    drawString(context, pen, axis, k, now.hook, now.bit)
    drawHook(context, pen, axis, k, now.hook)
    drawBlows(context, panel, time)
    context.restore()
    tellPlaces(side.letter, now)
  }

  function tellPlaces(letter, now) {
    const told = (machine.drawn[letter] ??= {})
    for (const name of TOLD) told[name] = now[name]
  }

  // Seals that hold, bars that lock, the force of the active part.
  function drawState(context, { side, n, pen, axis, k, layout, now, told, room }, time) {
    if (now.piston === null || pen.ghost) return
    const crown = layout.kind === "under the crown", half = (crown ? 11 : 17) * k
    const middles = crown ? [axis - 50 * k, axis + 50 * k] : [axis]
    const foot = crown ? now.cylinder - 12 : now.cylinder + layout.place.inside + 2 * SIZE.cap + 10
    for (const middle of middles) {
      if (now.flags & SEALS_HOLD) drawSeals(context, pen, middle, half, now.piston)
      if (now.flags & LOCKED) {
        const since = time - (told.locked[lastBefore(told.locked, time)] ?? -Infinity)
        drawLocks(context, pen, middle, half * 0.7, foot, Math.max(1 - since / LOCKING, 0))
      }
    }
    if (!side.machine.active || now.flags & LOCKED || !side.signals.active_force) return
    const x = axis - (crown ? 69 : 31) * k, y = crown ? now.cylinder - 8 : foot + 26
    if (!(now.flags & ACTIVE_WORKS)) return words(context, colours, room > 200 ? "active lost" : "lost", x, y - 6, loud)
    const ink = makePen({ ...colours, edge: colours.text }, null, NO_DASH, false)
    drawForce(context, ink, x, y, sampleAt(film, side, "active_force", time) / acting[n])
    if (room > 200) words(context, colours, "active", x - 9, y - 6, { size: 11.5, align: "right" })
  }

  function drawBlows(context, { pen, axis, k, layout, now, told }, time) {
    const landed = lastBefore(told.landedAt, time)
    const age = landed < 0 ? 1 : (time - told.landedAt[landed]) / FLASH
    if (age < 1) {
      const size = 18 + 34 * Math.sqrt(told.landed[landed].force / most)
      strike(context, colours, axis, now.bit, size, age)
    }
    const struck = lastBefore(told.struck, time)
    const since = now.flags & AT_END ? 0 : struck < 0 ? 1 : (time - told.struck[struck]) / FLASH
    if (since >= 1 || now.piston === null) return
    const low = now.piston > now.cylinder + SIZE.cap + layout.place.inside / 2
    const y = low ? now.cylinder + layout.place.inside + 2 * SIZE.cap - 4 : now.cylinder + 4
    for (const x of layout.kind === "under the crown" ? [axis - 50 * k, axis + 50 * k] : [axis]) {
      box(context, makePen(colours, colours.over, NO_DASH, false), x - 20 * k, y - 5, 40 * k, 10, colours.over, 2)
      strike(context, colours, x, y, 40, since)
    }
  }

  // Names of the parts beside them, in the order they stand; weights and stroke in bold under the name.
  function drawLabels(context, panel, time) {
    const { pen, x, room, axis, k, at, wide, narrow, tight, now, side, layout } = panel
    if (pen.ghost) return drawGhostLabels(context, panel)
    const size = narrow ? 11 : 12.5, lines = panel.labels
    let count = 0
    const label = (y, text, strong, loud, from = at) => {
      const line = (lines[count++] ??= {})
      line.y = line.at = y
      line.x = from
      line.text = text
      line.strong = strong
      line.loud = loud
    }
    label(now.crown - 10, tight ? "Crown" : "Crown block", "", false, wide)
    if (layout.kind === "drawworks" && !narrow) label((now.crown + now.block - SIZE.block) / 2, `${side.machine.lines} lines`)
    label(now.block - SIZE.block / 2, narrow ? "Block" : "Travelling block")
    nameUnit(label, panel)
    label(now.hook + SIZE.hook / 2, "Hook", shown(film, "force", now.hookLoad))
    const beside = axis + 104 * k // the floor ends at 100 k
    label(now.floor + 4, x + room - beside < ROOM_FOR_FLOOR ? "Floor" : "Drill floor", "", false, beside)
    label(clearOf(panel, (now.floor + now.bit - SIZE.collars - SIZE.bit) / 2), narrow ? "String" : "String, cut short", stretched(now.stretch, narrow))
    label(now.bit - SIZE.bit - SIZE.collars / 2, "Collars")
    const off = now.flags & OFF_BOTTOM, gap = Math.max(now.bed - now.bit, 0) / layout.scale / layout.bitTimes
    label(now.bit - 4, "Bit", off ? `${shown(film, "length", gap)} off` : shown(film, "force", now.bitForce), off)
    lines.length = count
    spread(lines, layout.height)
    for (const line of lines) {
      const bold = { size: size + 1, bold: true, colour: line.loud ? colours.over : colours.text }
      words(context, colours, line.text, line.x, line.at, { size })
      // a number that would leave the panel stands further in, over the rig
      const left = Math.min(line.x, x + room - 4 - DIGIT * size * (line.strong?.length ?? 0))
      if (line.strong) words(context, colours, line.strong, left, line.at + size + 2, bold)
    }
    sayState(context, panel, time)
  }

  // A place for a name of two rows that the lines of the water and of the seabed do not run through.
  function clearOf({ layout }, y) {
    for (const line of [layout.place.water, layout.place.bed]) if (line > y - 12 && line < y + 24) return line + 14
    return y
  }

  // How much longer the string is than at rest; in a narrow panel with its sign alone.
  function stretched(stretch, narrow) {
    if (narrow) return `${stretch > 0 ? "+" : ""}${shown(film, "length", stretch)}`
    return `${shown(film, "length", Math.abs(stretch))} ${stretch < 0 ? "shorter" : "longer"}`
  }

  function nameUnit(label, { now, layout, wide }) {
    if (now.piston === null) return
    const at = `${now.stroke >= 0 ? "+" : ""}${shown(film, "length", now.stroke)}`
    const held = now.flags & LOCKED ? "locked" : now.flags & AT_END ? "at the end" : now.flags & SEALS_HOLD ? "seals hold" : ""
    label(now.piston, "Piston", held || at, held !== "", wide)
    const foot = now.cylinder + layout.place.inside + 2 * SIZE.cap
    if (foot - now.piston > 44) label(foot - 14, "Gas", "", false, wide)
  }

  // Labels keep a line's height from each other, the lower one giving way.
  function spread(lines, height) {
    lines.sort((a, b) => a.y - b.y)
    let free = SIZE.head
    for (const line of lines) {
      line.at = Math.max(line.y, free)
      free = line.at + (line.strong ? 31 : 16)
    }
    let foot = height - 22
    for (let n = lines.length - 1; n >= 0; n--) {
      foot -= lines[n].strong ? 31 : 16
      lines[n].at = Math.min(lines[n].at, foot + 8)
    }
  }

  // Of a set-up laid over another only its letter beside block, hook and bit.
  function drawGhostLabels(context, { axis, k, now, side }) {
    const at = { size: 12, bold: true, colour: side.colour, align: "right" }
    words(context, colours, side.letter, axis - 34 * k, now.block - SIZE.block / 2, at)
    words(context, colours, `${side.letter} ${shown(film, "force", now.hookLoad)}`, axis - 24 * k, now.hook + SIZE.hook / 2, at)
    words(context, colours, `${side.letter} ${shown(film, "force", now.bitForce)}`, axis - 24 * k, now.bit - 6, at)
  }

  function sayState(context, { side, told, now, layout, axis, k, x }, time) {
    const landed = lastBefore(told.landedAt, time)
    if (landed >= 0 && time - told.landedAt[landed] < SAID && !(now.flags & OFF_BOTTOM))
      words(context, colours, `landed: ${shown(film, "force", told.landed[landed].force)}`, axis, layout.height - 26, loud)
    if (time >= told.shut && now.piston !== null)
      words(context, colours, "bank shut", Math.max(axis - 92 * k, x + 36), bottlesAt(layout, now) + BOTTLE + 12, loud)
    const holds = layout.kind === "drawworks" && side.machine.active && !(now.flags & ACTIVE_WORKS)
    const said = now.flags & FEEDS_OFF ? "feeds off" : holds ? "drum holds" : ""
    const style = { ...loud, colour: holds ? colours.over : colours.text }
    if (said) words(context, colours, said, Math.max(axis - 62 * k, x + 42), now.floor + 20, style)
  }
  return machine
}
