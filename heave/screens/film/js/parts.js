// The parts of a rig in the magnified view, each as it is built. `axis` is the middle of the string, `k` how wide things are.

// Legs of the derrick, and the drill floor with its opening.
function drawFloor(context, pen, axis, k, top, floor) {
  context.globalAlpha = 0.25
  const out = y => (30 + 62 * (y - top) / (floor - top)) * k
  startPath(context, pen, 1.5)
  for (const side of [-1, 1]) {
    context.moveTo(axis + side * out(top), top)
    context.lineTo(axis + side * out(floor), floor)
    context.moveTo(axis + side * out(top), top)
    for (let part = 1; part <= 4; part++) {
      const y = top + (floor - top) * part / 4
      context.lineTo(axis + (part % 2 ? -side : side) * out(y), y)
    }
  }
  context.stroke()
  context.globalAlpha = 1
  const { shade } = pen.colours
  box(context, pen, axis - 100 * k, floor, 88 * k, SIZE.floor, shade)
  box(context, pen, axis + 12 * k, floor, 88 * k, SIZE.floor, shade)
}

// A beam with its sheaves; `y` is its foot.
const SHEAVES = [-22, -7.5, 7.5, 22]
function drawCrown(context, pen, axis, k, y) {
  const { steel, shade } = pen.colours
  box(context, pen, axis - 36 * k, y - 9, 72 * k, 9, steel, 2)
  startPath(context, pen, 1.2)
  for (const place of SHEAVES) {
    context.moveTo(axis + (place + 8) * k, y - 13)
    context.arc(axis + place * k, y - 13, 8 * k, 0, 2 * Math.PI)
    context.moveTo(axis + place * k + 1.5, y - 13)
    context.arc(axis + place * k, y - 13, 1.5, 0, 2 * Math.PI)
  }
  endPath(context, pen, shade)
}

// Falls from crown to block with marks on the rope. The dead line stands still and so does the first fall; each sheave
// between adds the block's own movement, so the k-th fall runs k times as fast if k is even, k - 1 times if it is odd.
const ROPE_GAP = 28 // from mark to mark [px]
function drawLines(context, pen, axis, k, crown, block, lines, paid) {
  const step = Math.min(6.5, 56 / Math.max(lines - 1, 1)) * k
  const top = block - SIZE.block + 8
  const left = axis - (lines + 1) / 2 * step
  startPath(context, pen, 0.9)
  for (let fall = 1; fall <= lines; fall++) {
    context.moveTo(left + fall * step, crown)
    context.lineTo(left + fall * step, top)
  }
  context.stroke()
  context.fillStyle = pen.colours.edge
  context.beginPath()
  for (let fall = 1; fall <= lines; fall++)
    ropeMarks(context, left + fall * step, crown, left + fall * step, top, fall % 2 ? (fall - 1) * paid : -fall * paid)
  context.fill()
}

// Marks on a rope that has run `moved` pixels from its first end towards its second, into the path that is open.
function ropeMarks(context, x, y, toX, toY, moved) {
  const length = Math.hypot(toX - x, toY - y)
  for (let at = (moved % ROPE_GAP + ROPE_GAP) % ROPE_GAP; at < length - 2; at += ROPE_GAP)
    context.rect(x + (toX - x) * at / length - 1.5, y + (toY - y) * at / length - 2.5, 3, 5)
}

// Drum on the floor, turned by what the fast line has paid out, and the line to it from the crown.
function drawDrum(context, pen, axis, k, radius, layout, now) {
  const { crown, floor, run } = now
  const x = axis - 66 * k, y = floor - radius - 3
  rule(context, pen, axis - 33 * k, crown - 10, x + radius * 0.9, y, 1)
  context.fillStyle = pen.colours.edge
  context.beginPath()
  ropeMarks(context, axis - 33 * k, crown - 10, x + radius * 0.9, y, run * layout.scale)
  context.fill()
  wheel(context, pen, x, y, radius, pen.colours.steel)
  wheel(context, pen, x, y, radius * 0.28, pen.colours.shade)
  const angle = -run / DRUM_RADIUS
  startPath(context, pen, 1.8)
  for (let spoke = 0; spoke < 3; spoke++) {
    const turn = angle + spoke * 2 * Math.PI / 3
    context.moveTo(x + radius * 0.28 * Math.cos(turn), y + radius * 0.28 * Math.sin(turn))
    context.lineTo(x + radius * 0.92 * Math.cos(turn), y + radius * 0.92 * Math.sin(turn))
  }
  context.stroke()
}

function drawBlock(context, pen, axis, k, y) {
  const { steel, shade } = pen.colours
  box(context, pen, axis - 26 * k, y - SIZE.block, 52 * k, SIZE.block, steel, 7)
  wheel(context, pen, axis - 12 * k, y - SIZE.block + 13, 9 * k, shade)
  wheel(context, pen, axis + 12 * k, y - SIZE.block + 13, 9 * k, shade)
}

// A cylinder with its gas and piston. The gas lies below the piston of every kind drawn: it pulls back a piston the hook
// pulls down, or holds up one the crown presses down. Its grains are always as many, so they crowd as it is compressed.
function drawCylinder(context, pen, x, half, layout, now, tint, grains) {
  const { colours } = pen, top = now.cylinder, length = layout.place.inside + 2 * SIZE.cap
  box(context, pen, x - half, top, 2 * half, length, colours.sky, 3)
  const from = now.piston + 6, to = top + length - 6
  if (!pen.ghost) {
    context.fillStyle = tint
    context.fillRect(x - half + 2, from, 2 * half - 4, to - from)
    if (grains) drawGrains(context, colours, x, half - 5, from, to)
  }
  box(context, pen, x - half - 3, top - 1, 2 * half + 6, 6, colours.shade, 1)
  box(context, pen, x - half - 3, top + length - 5, 2 * half + 6, 6, colours.shade, 1)
}

function drawGrains(context, colours, x, half, from, to) {
  context.fillStyle = colours.grainGas
  for (let row = 0; row < 9; row++)
    for (let place = row % 2 ? -0.75 : -0.25; place <= 0.8; place += 1)
      context.fillRect(x + place * half - 1, from + (row + 0.5) * (to - from) / 9 - 1, 2.2, 2.2)
}

function drawPiston(context, pen, x, half, y) {
  box(context, pen, x - half + 1.5, y - 6, 2 * half - 3, 12, pen.colour, 1)
  if (pen.ghost) return
  context.fillStyle = pen.colours.halo
  context.fillRect(x - half + 2, y - 3, 2 * half - 4, 1.4)
  context.fillRect(x - half + 2, y + 1.6, 2 * half - 4, 1.4)
}

// Where the cylinder is drawn shorter than it is.
function drawCuts(context, pen, x, half, layout, now) {
  if (pen.ghost) return
  if (layout.moves.cutLow) breakMark(context, pen.colours, x, now.cylinder + SIZE.cap - 2, half + 5)
  if (layout.moves.cutHigh) breakMark(context, pen.colours, x, now.cylinder + layout.place.inside + SIZE.cap + 2, half + 5)
}

// Under the block: one cylinder with its rod down to the hook, and the active one beside it on the same yoke.
function drawUnderBlock(context, pen, axis, k, layout, now, active) {
  const half = 17 * k, { colours } = pen
  box(context, pen, axis - 3.5 * k, now.piston, 7 * k, now.hook - now.piston, colours.steel)
  drawCylinder(context, pen, axis, half, layout, now, colours.gas, true)
  box(context, pen, axis - 3.5 * k, now.piston, 7 * k, now.cylinder + layout.place.inside + 2 * SIZE.cap - now.piston, colours.steel)
  drawPiston(context, pen, axis, half, now.piston)
  drawCuts(context, pen, axis, half, layout, now)
  if (!active) return
  const x = axis - 31 * k
  box(context, pen, x - 2.5 * k, now.piston, 5 * k, now.hook - now.piston - 6, colours.steel)
  box(context, pen, x - 4 * k, now.hook - 9, axis - x + 8 * k, 6, colours.shade, 1)
  drawCylinder(context, pen, x, 8 * k, layout, now, colours.oil, false)
  drawPiston(context, pen, x, 8 * k, now.piston)
  drawCuts(context, pen, x, 8 * k, layout, now)
}

// Under the crown: two cylinders stand on the derrick and push rods up that carry crown, lines and block.
function drawUnderCrown(context, pen, axis, k, layout, now, active) {
  const { colours } = pen, half = 11 * k, out = 50 * k
  const beam = active ? 68 * k : 62 * k
  for (const x of [axis - out, axis + out]) {
    box(context, pen, x - 3 * k, now.crown - 2, 6 * k, now.piston - now.crown, colours.steel)
    drawCylinder(context, pen, x, half, layout, now, colours.gas, true)
    box(context, pen, x - 3 * k, now.cylinder, 6 * k, now.piston - now.cylinder, colours.steel)
    drawPiston(context, pen, x, half, now.piston)
    drawCuts(context, pen, x, half, layout, now)
  }
  if (active) {
    const x = axis - out - 19 * k
    box(context, pen, x - 2 * k, now.crown - 2, 4 * k, now.piston - now.crown, colours.steel)
    drawCylinder(context, pen, x, 6 * k, layout, now, colours.oil, false)
    drawPiston(context, pen, x, 6 * k, now.piston)
    drawCuts(context, pen, x, 6 * k, layout, now)
  }
  box(context, pen, axis - beam - (active ? 8 * k : 0), now.crown - 3, 2 * beam + (active ? 8 * k : 0), 6, colours.shade, 2)
}

// Bottles that the gas of the cylinders is pushed into, hung in the derrick; shut ones are empty outlines with a bar across.
function drawBottles(context, pen, axis, k, layout, now, shut) {
  if (pen.ghost) return
  const { colours } = pen, { place } = layout, top = bottlesAt(layout, now)
  const reach = axis - (layout.kind === "under the crown" ? 62 : 18) * k, foot = now.cylinder + place.inside + 2 * SIZE.cap - 9
  startPath(context, pen, 1.6)
  context.moveTo(axis - 108 * k, top - 8)
  context.lineTo(axis - 80 * k, top - 8)
  context.bezierCurveTo(axis - 66 * k, top - 8, axis - 74 * k, foot + 16, reach, foot) // a hose: one end rides with the cylinder
  context.stroke()
  for (let bottle = 0; bottle < BOTTLES; bottle++) {
    const x = axis - (113 - 7 * bottle) * k, closed = bottle < shut
    rule(context, pen, x + 2.5 * k, top - 8, x + 2.5 * k, top, 1.6)
    box(context, pen, x, top, 5 * k, BOTTLE, closed ? colours.sky : colours.gas, 2.5 * k)
    if (closed) rule(context, makePen(colours, null, NO_DASH, false), x - 1, top - 4, x + 5 * k + 1, top - 4, 3)
    else drawGrains(context, colours, x + 2.5 * k, 2.5 * k, top + 4, top + BOTTLE - 2)
  }
}
const BOTTLES = 5, BOTTLE = 44

// How many of them stand for what is shut at a time: some where anything is, never all, for some gas is always left.
function shutBottles({ shut }, time) {
  const share = shut.reduce((last, [from, part]) => (time >= from ? part : last), 0)
  return share > 0 ? Math.min(Math.max(Math.round(share * BOTTLES), 1), BOTTLES - 1) : 0
}

// Top of the bottles, which ride with the vessel.
function bottlesAt({ place }, now) {
  return now.floor - place.floor + place.cylinder + 26
}

// An arrow for a force, up where it is positive; `share` of the longest.
function drawForce(context, pen, x, y, share) {
  const end = y - 38 * share, head = 6 * Math.sign(share || 1)
  context.globalAlpha = Math.min(Math.abs(share) * 8, 1)
  rule(context, pen, x, y, x, end, 3)
  startPath(context, pen, 3)
  context.moveTo(x - 5, end + head)
  context.lineTo(x, end)
  context.lineTo(x + 5, end + head)
  context.stroke()
  context.globalAlpha = 1
}

// Bars that are put through when the unit is locked; `gone` is how far they still are from home, 1 to 0.
function drawLocks(context, pen, x, half, y, gone) {
  const { colours } = pen, away = 26 * gone
  for (const side of [-1, 1])
    box(context, pen, side < 0 ? x - half - 12 - away : x - 2 + away, y - 4, half + 14, 8, colours.over, 2)
}

// Wedges against the piston: its seals hold it.
function drawSeals(context, pen, x, half, y) {
  context.fillStyle = pen.colours.over
  context.beginPath()
  for (const side of [-1, 1]) {
    const edge = x + side * (half + 1)
    context.moveTo(edge, y)
    context.lineTo(edge + side * 9, y - 6)
    context.lineTo(edge + side * 9, y + 6)
    context.closePath()
  }
  context.fill()
}

function drawHook(context, pen, axis, k, y) {
  const { steel, shade } = pen.colours
  box(context, pen, axis - 5 * k, y - 2, 10 * k, 10, shade, 2)
  box(context, pen, axis - 15 * k, y + 7, 30 * k, SIZE.hook - 14, steel, 4)
  if (!pen.ghost) box(context, pen, axis - 15 * k, y + 12, 30 * k, 6, pen.colour)
  box(context, pen, axis - 6 * k, y + SIZE.hook - 8, 12 * k, 8, shade, 2)
}

// String from hook to collars. Its joints share the way between hook and bit evenly, as a long spring does: where hook and
// bit move alike they travel, where they do not they part or close up.
const JOINTS = 16
function drawString(context, pen, axis, k, hook, bit) {
  const { colours } = pen, top = hook + SIZE.hook, low = bit - SIZE.bit, collars = low - SIZE.collars
  box(context, pen, axis - 2.6 * k, top, 5.2 * k, collars - top, colours.steel)
  startPath(context, pen, 1)
  for (let joint = 1; joint < JOINTS; joint++)
    context.rect(axis - 5 * k, top + (collars - top) * joint / JOINTS - 2.5, 10 * k, 5)
  endPath(context, pen, colours.shade)
  box(context, pen, axis - 7.5 * k, collars, 15 * k, SIZE.collars, colours.shade, 2)
  startPath(context, pen, 1.2)
  context.moveTo(axis - 10 * k, low)
  context.lineTo(axis + 10 * k, low)
  context.lineTo(axis + 11 * k, bit - 6)
  for (let tooth = 0; tooth < 4; tooth++) {
    context.lineTo(axis + (11 - 5.5 * (tooth + 0.5)) * k, bit)
    context.lineTo(axis + (11 - 5.5 * (tooth + 1)) * k, bit - (tooth < 3 ? 4 : 6))
  }
  context.closePath()
  endPath(context, pen, pen.colour)
}

// Rock round the hole: it gives way a little under the bit, and a bulb of pressure under it is as large as the weight on it.
function drawRock(context, pen, axis, k, layout, now, bulb) {
  const { colours } = pen, free = layout.place.bit - layout.scale * layout.bitTimes * layout.moves.free
  const bed = now.flags & OFF_BOTTOM ? free : Math.max(now.bit, free)
  context.fillStyle = colours.mud
  if (!pen.ghost) context.fillRect(axis - 15 * k, layout.place.bed, 30 * k, bed - layout.place.bed)
  rule(context, pen, axis - 15 * k, bed, axis + 15 * k, bed, 1.6)
  if (bulb <= 0) return bed
  context.strokeStyle = pen.colour
  context.setLineDash(pen.ghost ? pen.dash : NO_DASH)
  for (let ring = 1; ring <= 3; ring++) {
    context.globalAlpha = 1.05 - 0.28 * ring
    context.lineWidth = 3 - 0.6 * ring
    context.beginPath()
    context.arc(axis, bed, bulb * ring / 3 + 2, 0.12, Math.PI - 0.12)
    context.stroke()
  }
  context.globalAlpha = 1
  return bed
}
