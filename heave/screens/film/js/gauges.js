// The driller's gauges: four rulers. A's pointer is filled and stands above its ruler, B's is hollow and hangs below;
// a thick line tells the range of the last ten seconds, and every limit of the plan is a gate across the ruler.

const GAUGES = [
  { name: "hook_load", titles: ["Weight indicator, hook load", "Weight indicator"], kind: "force" },
  { name: "bit_force", titles: ["Weight on bit"], kind: "force" },
  { name: "stroke", titles: ["Stroke, + gas compressed", "Stroke, + gas in"], kind: "length", none: "no stroke" },
  { name: "gas_pressure", titles: ["Gas pressure"], kind: "pressure", none: "no gas" },
]
const GAUGE_STRETCH = 25 // a gauge tells how far its limits are, a trace what its curve does
const TRAIL = 10 // seconds behind the pointer

/** The gauges of a film. */
function makeGauges(film) {
  const gauges = GAUGES.map(gauge => gaugeOf(film, gauge))
  const look = traceLook(film)
  const drawn = { time: 0, gauges: {} }
  let places = null
  const still = makeStill(context => paintGauges(context, film, gauges, look, places, drawn))
  return {
    drawn,
    height: width => gaugePlaces(film, gauges, width).height,
    draw(context, width, height, time) {
      if (width < 120) return
      const stale = !places || places.width !== width
      if (stale) places = gaugePlaces(film, gauges, width)
      context.clearRect(0, 0, width, height)
      still.show(context, width, height, stale)
      drawn.time = time
      for (let n = 0; n < gauges.length; n++) drawGauge(context, film, gauges[n], look, places, drawn, n, time)
    },
  }
}

/** What a gauge reads on every side, its limits, and the span of its ruler. */
function gaugeOf(film, gauge) {
  const limits = limitsOf(film, gauge.name)
  const reaches = film.sides.map(side => signalOf(side, gauge.name)).filter(Boolean)
    .map(signal => reachOf(signal, 0, signal.length))
  if (reaches.length === 0) return { ...gauge, limits: [], span: null }
  const low = Math.min(...reaches.map(reach => reach.low))
  const high = Math.max(...reaches.map(reach => reach.high))
  const least = { length: 0.1, force: 10, pressure: 1 }[gauge.kind] * film.units[gauge.kind].factor
  return { ...gauge, limits, span: spanOf(low, high, limits.map(({ levels }) => ({ levels, stretch: GAUGE_STRETCH })), least) }
}

/** Places of the gauges at a width: how many abreast, and where everything in a cell stands below its top. */
function gaugePlaces(film, gauges, width) {
  const across = width >= 820 ? 4 : width >= 300 ? 2 : 1
  const cell = width / across
  const two = film.sides.length > 1
  const ruler = two ? 62 : 52
  const rows = Math.max(...gauges.map(gauge => gateRows(film, gauge, cell)), 0)
  const down = ruler + (two ? 32 : 22) + rows * ROW + 8
  return { width, across, cell, ruler, down, height: Math.ceil(gauges.length / across) * down + 18 }
}

/** Where a value stands along the ruler of a cell [px]. */
function alongRuler(gauge, cell, value) {
  const share = (value - gauge.span.low) / (gauge.span.high - gauge.span.low)
  return 12 + Math.min(Math.max(share, 0), 1) * (cell - 24)
}

/** Names of a gauge's limits under its ruler, each as near its gate as the others let it, in two rows if it is long. */
function gatesOf(film, gauge, cell) {
  const room = makeRoom()
  return gauge.limits.map(limit => {
    const inside = limit.levels.filter(level => level <= gauge.span.high && level >= gauge.span.low)
    const arrow = inside.length ? "" : limit.levels[0] > gauge.span.high ? " \u2192" : " \u2190"
    const figure = `${levelsFigure(film, gauge.kind, limit.levels)}${arrow}`
    const whole = `${limit.word} ${figure}`
    const lines = widthOf(whole) > cell - 16 ? [limit.word, figure] : [whole]
    const width = Math.max(...lines.map(line => widthOf(line)))
    const xs = inside.map(level => alongRuler(gauge, cell, level))
    const about = xs.length ? xs.reduce((sum, x) => sum + x) / xs.length : alongRuler(gauge, cell, limit.levels[0])
    const left = Math.max(Math.min(about - width / 2, cell - 8 - width), 8)
    const box = { left, right: left + width, top: 0, bottom: lines.length * ROW }
    while (!room.free(box)) {
      box.top += ROW
      box.bottom += ROW
    }
    room.taken.push(box)
    return { lines, xs, left, top: box.top, bottom: box.bottom }
  })
}

function gateRows(film, gauge, cell) {
  return gauge.span ? Math.max(0, ...gatesOf(film, gauge, cell).map(gate => gate.bottom / ROW)) : 0
}

/** Whether a cell is too narrow for two figures with their units: the unit then stands in the title. */
function tightFigures(film, cell) {
  return film.sides.length > 1 && cell < 245
}

/** Corner of a gauge's cell. */
function cornerOf(places, n) {
  return { left: (n % places.across) * places.cell, top: Math.floor(n / places.across) * places.down }
}

/** Titles, rulers, ticks and gates: what stands still. */
function paintGauges(context, film, gauges, look, places, drawn) {
  const room = makeRoom()
  const { cell, ruler, down } = places
  const chart = { context, room }
  const two = film.sides.length > 1
  gauges.forEach((gauge, n) => {
    const { left, top } = cornerOf(places, n)
    context.strokeStyle = look.track
    context.lineWidth = 1
    context.strokeRect(left + 3.5, top + 2.5, cell - 7, down - 5)
    const unit = tightFigures(film, cell) ? `, ${film.units[gauge.kind].symbol}` : ""
    write(chart, fitting(gauge.titles.map(title => title + unit), cell - 20, 12, 600), left + 10, top + 17, 12, look.text, 600)
    if (!gauge.span) return write(chart, gauge.none, left + 10, top + ruler + 4, 12, look.muted)
    const y = top + ruler
    drawn.gauges[gauge.name] = { left: left + 12, right: left + cell - 12, y, low: gauge.span.low, high: gauge.span.high, pointers: {} }
    context.strokeStyle = look.line
    context.lineWidth = 1.5
    context.beginPath()
    context.moveTo(left + 12, y)
    context.lineTo(left + cell - 12, y)
    const factor = film.units[gauge.kind].factor
    const { values, decimals } = ticksOf(gauge.span.low, gauge.span.high, factor, cell < 220 ? 3 : 4)
    for (const value of values) {
      const x = left + alongRuler(gauge, cell, value)
      context.moveTo(x, y - 4)
      context.lineTo(x, y + 4)
    }
    context.stroke()
    for (const value of values) {
      const text = figureOf(value / factor, decimals)
      const wide = widthOf(text)
      const x = left + Math.max(Math.min(alongRuler(gauge, cell, value) - wide / 2, cell - 8 - wide), 8)
      write(chart, text, x, y + (two ? 26 : 16), 11, look.muted)
    }
    paintGates(chart, film, gauge, look, places, left, y)
  })
  const apart = two ? ["; A above and filled, B below and hollow", "; A filled, B hollow"] : [""]
  const notes = ["Bar: the last 10 s. Gates: limits of the plan", "Bar: last 10 s"].flatMap(words => apart.map(more => words + more))
  write(chart, fitting(notes, places.width - 12), 8, Math.ceil(gauges.length / places.across) * down + 13, 11, look.muted)
}

/** Gates across the ruler at the plan's limits, and their names below. */
function paintGates(chart, film, gauge, look, places, left, y) {
  const { context } = chart
  const first = y + (film.sides.length > 1 ? 30 : 20)
  for (const gate of gatesOf(film, gauge, places.cell)) {
    context.strokeStyle = look.limit
    context.lineWidth = 3
    context.beginPath()
    for (const x of gate.xs) {
      context.moveTo(left + x, y - 9)
      context.lineTo(left + x, y + 9)
    }
    context.stroke()
    gate.lines.forEach((line, row) => write(chart, line, left + gate.left, first + gate.top + row * ROW + 10, 11, look.limit))
  }
}

/** What moves on a gauge: for every side the range of the last seconds, its pointer and its figure. */
function drawGauge(context, film, gauge, look, places, drawn, n, time) {
  if (!gauge.span) return
  const { cell, ruler } = places
  const left = (n % places.across) * cell
  const y = Math.floor(n / places.across) * places.down + ruler
  const sides = film.sides
  const tight = tightFigures(film, cell)
  context.textAlign = "left"
  for (let s = 0; s < sides.length; s++) {
    const side = sides[s]
    const signal = signalOf(side, gauge.name)
    const column = left + 10 + (s * (cell - 16)) / 2
    context.font = `700 ${tight ? 13 : 15}px ${SCALE_FONT}`
    context.fillStyle = look.text
    const letter = sides.length > 1 ? `${side.letter} ` : ""
    if (!signal) {
      context.fillText(`${letter}${gauge.none}`, column, y - ruler + 36)
      continue
    }
    const value = sampleAt(film, side, gauge.name, time)
    context.fillText(letter + (tight ? bareFigure : wholeFigure)(film, gauge.kind, value), column, y - ruler + 36)
    drawTrail(context, film, gauge, signal, side, left, cell, y + (s === 0 ? -3 : 3), time)
    const x = left + alongRuler(gauge, cell, value)
    drawn.gauges[gauge.name].pointers[side.letter] = x
    const up = s === 0 ? -1 : 1
    context.beginPath()
    context.moveTo(x, y + up)
    context.lineTo(x - 6, y + 13 * up)
    context.lineTo(x + 6, y + 13 * up)
    context.closePath()
    context.lineWidth = 2
    context.strokeStyle = s === 0 ? look.ground : side.colour
    context.fillStyle = s === 0 ? side.colour : look.ground
    context.fill()
    context.stroke()
  }
}

/** The range a side went through in the last seconds, as a thick line beside the ruler. */
function drawTrail(context, film, gauge, signal, side, left, cell, y, time) {
  const last = Math.min(Math.floor((time - film.start) / film.step), signal.length - 1)
  const first = Math.max(0, last - Math.round(TRAIL / film.step))
  let low = signal[last]
  let high = low
  for (let n = first; n < last; n++) {
    if (signal[n] < low) low = signal[n]
    if (signal[n] > high) high = signal[n]
  }
  context.strokeStyle = side.colour
  context.lineWidth = 4
  context.beginPath()
  context.moveTo(left + alongRuler(gauge, cell, low), y)
  context.lineTo(left + alongRuler(gauge, cell, high), y)
  context.stroke()
}
