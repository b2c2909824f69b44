// Where the parts of a set-up stand in the magnified view. Sizes of parts are for the eye [px]; what moves, moves to one
// scale [px/m], the largest at which nothing of the whole film strikes another part or leaves the picture.

const SIZE = {
  head: 58, crown: 22, reeve: 30, block: 32, cap: 15, eye: 20, hook: 40, clear: 12, floor: 8,
  string: 78, collars: 48, bit: 16, rock: 54, lift: 60, press: 8,
}
const LARGEST_SCALE = 120 // [px/m]
const BESIDE_STROKE = 0.25 // of stroke shown beyond what the film uses [m]
const END_NEAR = 0.6 // an end of the stroke as near as this to what is used is shown [m]
const BIT_SCALES = [1, 2, 5, 10, 20, 50]
const DRUM_RADIUS = 0.75 // of the drum that is drawn turning [m]

// Hole made by a time [m]; without power no more is made.
function drilledAt(side, time) {
  return side.drilled * Math.min(time, side.drills_until ?? Infinity)
}

// Height of the bit above the bottom of the hole, which falls as hole is made [m].
function bitAboveRock(film, side, time) {
  return sampleAt(film, side, "bit", time) + drilledAt(side, time)
}

// How far things come in the whole film [m].
function movesOf(film, side) {
  const { heave, block, hook, stroke, bit } = side.signals
  const most = { up: 0, down: 0, close: 0, reach: 0, over: 0, rise: 0, lift: 0, sink: 0, press: 0, free: 0, low: Infinity, high: -Infinity }
  const raise = (name, value) => (most[name] = Math.max(most[name], value))
  const rock = side.machine.contact === "one-sided"
  for (let row = 0; row < heave.length; row++) {
    raise("up", heave[row])
    raise("down", -heave[row])
    raise("close", block[row] - heave[row])
    raise("reach", heave[row] - hook[row])
    raise("over", hook[row] - heave[row])
    raise("rise", heave[row] - stroke[row])
    const above = bit[row] + (rock ? drilledAt(side, film.start + row * film.step) : 0)
    raise("lift", above)
    if (rock && !(side.flags[row] & OFF_BOTTOM)) raise("free", above) // rock springs back as far when weight is taken off
    raise(rock ? "press" : "sink", -above) // into the rock, or down with a hook that nothing stops
    most.low = Math.min(most.low, stroke[row])
    most.high = Math.max(most.high, stroke[row])
  }
  most.start = stroke[0] - block[0] + hook[0]
  return { ...most, ...strokeWindow(side.machine.stroke, most.low, most.high) }
}

// The stretch of the stroke that is drawn, [low, high] from mid-stroke [m], and whether the cylinder is cut short there.
function strokeWindow(stroke, low, high) {
  if (stroke === null) return { low: 0, high: 0, cutLow: false, cutHigh: false }
  const end = stroke / 2
  const cutLow = low > END_NEAR - end, cutHigh = high < end - END_NEAR
  return { low: cutLow ? low - BESIDE_STROKE : -end, high: cutHigh ? high + BESIDE_STROKE : end, cutLow, cutHigh }
}

// Places at rest from the top down at a scale, and the height they need.
function stack(kind, moves, scale) {
  const wide = scale * (moves.high - moves.low)
  const place = { rod: wide + SIZE.cap + SIZE.eye, inside: wide, cylinder: null }
  if (kind === "under the crown") {
    const carried = SIZE.head + SIZE.crown + scale * moves.rise // the crown when the vessel is at rest and stroke at 0
    place.cylinder = carried + place.rod - SIZE.cap + scale * moves.low
    place.crown = carried
    const foot = place.cylinder + 2 * SIZE.cap + wide
    place.hook = foot + 8 + SIZE.block + scale * moves.over + SIZE.eye
  } else {
    place.crown = SIZE.head + SIZE.crown + scale * moves.up
    place.block = place.crown + SIZE.reeve + SIZE.block + scale * moves.close
    place.hook = place.block + SIZE.eye
    if (kind === "under the block") {
      place.cylinder = place.block
      place.hook = place.block + SIZE.cap + scale * (moves.start - moves.low) + place.rod
    }
  }
  place.floor = place.hook + SIZE.hook + SIZE.clear + scale * moves.reach
  const string = place.floor + SIZE.floor + scale * moves.down
  place.bit = string + SIZE.string + SIZE.collars + SIZE.bit + scale * moves.lift
  place.needs = place.bit + scale * moves.sink + SIZE.rock
  return place
}

// Layout of every side at one common scale, so that two set-ups compare.
function layOut(film, height) {
  const moves = film.sides.map(side => movesOf(film, side))
  const kinds = film.sides.map(side => side.machine.kind)
  let scale = LARGEST_SCALE
  kinds.forEach((kind, n) => {
    const still = stack(kind, moves[n], 0).needs
    scale = Math.min(scale, (height - still) / (stack(kind, moves[n], 1).needs - still))
  })
  const lift = Math.max(...moves.map(each => each.lift)), press = Math.max(...moves.map(each => each.press))
  const fits = BIT_SCALES.filter(times => times === 1
    || ((times - 1) * scale * lift <= SIZE.lift && times * scale * press <= SIZE.press))
  const rock = film.sides.every(side => side.machine.contact === "one-sided")
  const times = rock ? fits[fits.length - 1] : 1
  const places = kinds.map((kind, n) => stack(kind, moves[n], scale))
  const floor = Math.max(...places.map(place => place.floor))
  return places.map((place, n) => {
    lower(kinds[n], place, floor - place.floor)
    place.bit = height - SIZE.rock - scale * moves[n].sink
    place.water = place.floor + SIZE.floor + scale * moves[n].down + 12
    // rock begins over the collars of a bit lifted as high as it comes, but below the water
    place.bed = Math.max(place.bit - SIZE.bit - SIZE.collars - 10 - scale * times * lift, place.water + 14)
    return { kind: kinds[n], place, moves: moves[n], scale, bitTimes: times, height }
  })
}

// Longer falls of line where the other set-up needs the room, so that both have their floor at one height.
function lower(kind, place, room) {
  for (const name of ["block", "hook", "floor"]) place[name] += room
  if (kind === "under the block") place.cylinder += room
}

// Places at a time, into `now`, a value made once: y of the parts [px], and what they stand for.
function placesAt(film, side, layout, time, now) {
  const { kind, place, moves, scale, bitTimes } = layout
  const heave = sampleAt(film, side, "heave", time), hook = sampleAt(film, side, "hook", time)
  now.stroke = sampleAt(film, side, "stroke", time)
  now.flags = flagAt(film, side, time)
  now.paid = sampleAt(film, side, "block", time) - heave
  now.run = side.machine.lines * now.paid // of the fast line, wound on where it is positive [m]
  now.floor = place.floor - scale * heave
  now.hook = place.hook - scale * hook
  now.cylinder = now.piston = null
  if (kind === "under the crown") {
    now.cylinder = place.cylinder - scale * heave
    now.piston = now.cylinder + SIZE.cap + scale * (now.stroke - moves.low)
    now.crown = now.piston - place.rod
    now.block = now.hook - SIZE.eye
  } else {
    now.crown = place.crown - scale * heave
    now.block = place.block - scale * sampleAt(film, side, "block", time)
    if (kind === "under the block") {
      now.cylinder = now.block
      now.piston = now.cylinder + SIZE.cap + scale * (now.stroke - moves.low)
    }
  }
  const bit = sampleAt(film, side, "bit", time)
  const rock = side.machine.contact === "one-sided" ? -side.drilled * time : 0 // it falls as hole is made
  now.bit = place.bit - scale * bitTimes * (bit - rock)
  now.stretch = hook - bit
  now.hookLoad = sampleAt(film, side, "hook_load", time)
  now.bitForce = sampleAt(film, side, "bit_force", time)
  return now
}
