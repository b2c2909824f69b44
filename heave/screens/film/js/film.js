// The film's data as Python packs them: every sample of the run, unpacked once, read between samples ever after.

const OFF_BOTTOM = 1, AT_END = 2, SEALS_HOLD = 4, LOCKED = 8, ACTIVE_WORKS = 16, FEEDS_OFF = 32

function unpacked(text) {
  const raw = atob(text)
  const bytes = new Uint8Array(raw.length)
  for (let place = 0; place < raw.length; place++) bytes[place] = raw.charCodeAt(place)
  return bytes
}

// 65535 steps between the least and the greatest: a stroke of eight metres to an eighth of a millimetre.
function unpackedSignal({ low, high, data }) {
  const bytes = unpacked(data)
  const values = new Float32Array(bytes.length >> 1)
  const step = (high - low) / 65535
  for (let row = 0; row < values.length; row++) values[row] = low + step * (bytes[2 * row] | (bytes[2 * row + 1] << 8))
  return values
}

function decodeFilm(data) {
  const sides = data.sides.map(side => ({
    ...side,
    signals: Object.fromEntries(Object.entries(side.signals).map(([name, signal]) => [name, unpackedSignal(signal)])),
    flags: unpacked(side.flags),
  }))
  const surface = data.sea.surface ? unpackedSignal(data.sea.surface) : null
  return { ...data, sides, sea: { ...data.sea, surface }, end: data.start + data.step * (data.count - 1) }
}

// Value of a row of samples at a time, straight between them; before the first and after the last they stand.
function between(film, values, time) {
  const place = Math.min(Math.max((time - film.start) / film.step, 0), values.length - 1)
  const row = Math.min(Math.floor(place), values.length - 2)
  return row < 0 ? values[0] : values[row] + (values[row + 1] - values[row]) * (place - row)
}

function sampleAt(film, side, name, time) {
  return between(film, side.signals[name], time)
}

function flagAt(film, side, time) {
  const row = Math.round((time - film.start) / film.step)
  return side.flags[Math.min(Math.max(row, 0), side.flags.length - 1)]
}

// "1.23 m" in the units of the screen; without `digits` as many as the size of the number asks for.
function shown(film, kind, value, digits) {
  const { symbol, factor } = film.units[kind]
  const number = value / factor
  const size = Math.abs(number)
  const places = digits ?? (size >= 100 ? 0 : size >= 10 ? 1 : 2)
  return `${figureOf(number, places)}\u00a0${symbol}`
}

// Times at which a flag is raised.
function raisedAt(film, side, flag) {
  const times = []
  for (let row = 1; row < side.flags.length; row++)
    if (side.flags[row] & flag && !(side.flags[row - 1] & flag)) times.push(film.start + row * film.step)
  return times
}

// Where the bit lands after it was off the rock, and the greatest force of the half second that follows.
function landings(film, side) {
  const found = [], half = Math.round(0.5 / film.step), force = side.signals.bit_force
  for (let row = 1; row < side.flags.length; row++) {
    if (side.flags[row] & OFF_BOTTOM || !(side.flags[row - 1] & OFF_BOTTOM)) continue
    let most = 0
    for (let next = row; next < Math.min(row + half, force.length); next++) most = Math.max(most, force[next])
    found.push({ time: film.start + row * film.step, force: most })
  }
  return found
}

// Which of the moments, in time order, came last before `time`; -1 where none did. By halving: it is asked every frame.
function lastBefore(times, time) {
  let low = 0, high = times.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (times[middle] <= time) low = middle + 1
    else high = middle
  }
  return low - 1
}
