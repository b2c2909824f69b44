// The traces beside the picture: four panels under one time cursor, and the whole run below them.
// What stands still while the cursor moves (axes, bands, limits, curves, words) is drawn once for a window.

const LANE_ROWS = 4 // most rows for the names of what happens
const LIMIT_STRETCH = 2.2 // a limit that would make a scale wider than this, in spans of the data, is only named
const CHECKED_STRETCH = 4 // for what is checked, which the curve is to be compared with
const FLAT = 3 // a curve is drawn on a scale of its own window, or about its mean, where it would fill less than a third
const ROW = 13 // height of a row of small words [px]
const STATES = {
  stroke: [[AT_END, "against an end"], [LOCKED, "locked"], [SEALS_HOLD, "held still by the seals"]],
  bit_force: [[OFF_BOTTOM, "bit off bottom"]],
} // states of the unit and of the bit, told as bars along the foot of a panel

/** What is drawn in one panel: its curves, their reach over the run, limits and bands. */
function tracePanel(film, panel) {
  const signals = film.sides.map(side => signalOf(side, panel.name))
  const shared = signals.length > 1 && sameSignal(signals[0], signals[1])
  const told = signals.map((_, place) => place).filter(place => signals[place] && !(shared && place > 0))
  const curves = told.map(place => {
    const reach = reachOf(signals[place], 0, signals[place].length)
    return { place, side: film.sides[place], signal: signals[place], base: 0, ...reach }
  })
  // Two strings of very different weight on one scale would be two flat lines: their swings compare about their means.
  const widest = Math.max(...curves.map(curve => curve.high - curve.low))
  const apart = Math.max(...curves.map(curve => curve.high)) - Math.min(...curves.map(curve => curve.low))
  const about = curves.length > 1 && panel.kind === "force" && apart > FLAT * widest
  if (about) {
    for (const curve of curves) {
      curve.base = curve.signal.reduce((sum, value) => sum + value, 0) / curve.signal.length
    }
  }
  const limits = about ? [] : limitsOf(film, panel.name)
  return { ...panel, curves, shared, about, limits, bands: bandsOf(film, panel.name, curves) }
}

/** Bands of every side, what is checked first; one that both sides share is drawn once. */
function bandsOf(film, name, curves) {
  const bands = []
  film.sides.forEach((side, place) => (side.bands[name] || []).forEach(band => {
    const twin = bands.find(other => other.low === band.low && other.high === band.high && other.word === band.word)
    if (twin) twin.letters += ` and ${side.letter}`
    else bands.push({ ...band, place, letters: side.letter, base: curves.find(curve => curve.place === place)?.base ?? 0 })
  }))
  return bands.sort((one, other) => Number(other.checked) - Number(one.checked))
}

/** The traces of a film. */
function makeTraces(film) {
  const panels = film.panels.map(panel => tracePanel(film, panel)).filter(panel => panel.curves.length)
  const look = traceLook(film)
  const drawn = { time: 0, cursor: 0, plot: null, window: { from: 0, to: 0 }, panels: {}, points: {}, overview: null }
  film.sides.forEach(side => (drawn.points[side.letter] = {}))
  let places = null
  const still = makeStill((context, ratio) => paintStill(context, ratio, film, panels, look, places, drawn))
  return {
    drawn,
    /** Height that reads well at a width [px]. */
    height: width => Math.round(placesOf(film, panels, width).height),
    /** The time under a place [s]: over the overview of the whole run, elsewhere of the window, which a hand that
     * goes past its edge does not turn. */
    timeAt(x, y) {
      const { plot, overview, window } = drawn
      if (!plot) return film.start
      const share = (x - plot.left) / (plot.right - plot.left)
      const whole = y !== undefined && overview && y >= overview.top
      const [from, to] = whole ? [film.start, film.end] : [window.from, window.to]
      const last = to < film.end ? to - film.step : film.end
      return Math.min(Math.max(from + share * (to - from), from), last)
    },
    draw(context, width, height, view) {
      if (width < 120 || height < 160) return
      let stale = view.from !== drawn.window.from || view.to !== drawn.window.to
      if (!places || places.width !== width || places.height !== height) {
        places = placesOf(film, panels, width, height)
        stale = true
      }
      drawn.window.from = view.from
      drawn.window.to = view.to
      context.clearRect(0, 0, width, height)
      still.show(context, width, height, stale)
      drawCursor(context, film, panels, look, places, drawn, view)
    },
  }
}

/** Colours of the traces: those of the sides, and edges of bands that stand out on ground and band alike. */
function traceLook(film) {
  const { ground, text } = film.look
  const fills = film.sides.map(side => mixed(side.colour, ground, 0.13))
  const edges = film.sides.map((side, place) => standingOut(side.colour, [ground, fills[place]], text, 3.2))
  const limit = standingOut(film.look.over, [ground], text, 3.2)
  return { ...film.look, fills, edges, limit }
}

/** What a panel's key tells: limits, bands, and the states that come up in the run; each with words, longest first. */
function keyItems(film, panel) {
  const two = film.sides.length > 1
  const scale = scaleOf(film, panel, 0, film.count)
  const items = panel.limits.map(limit => {
    const words = `${limit.word} ${levelsFigure(film, panel.kind, limit.levels)}`
    const off = limit.levels.every(level => level > scale.high || level < scale.low)
    return { limit, words: off ? [`${words}, off this scale`, words] : [words] }
  })
  for (const band of panel.bands) {
    const word = `${two ? `${band.letters}: ` : ""}${band.word}`
    const low = bareFigure(film, panel.kind, band.low).replace(/\.0+$/, "")
    const off = band.high - band.base > scale.high && band.low - band.base < scale.low
    const figures = `${low} to ${levelFigure(film, panel.kind, band.high)}${off ? ", wider than this scale" : ""}`
    items.push({ band, words: [`${word}, ${figures}`], parts: [word, figures] })
  }
  for (const [flag, word] of STATES[panel.name] || []) {
    if (!film.sides.some(side => side.flags.some(flags => flags & flag))) continue
    items.push({ flag, words: flag === OFF_BOTTOM ? [`${word}; ${blowWords(film)}`, word] : [word] })
  }
  return items
}

/** The key in rows: every item stands beside the one before it where the width allows; one too long takes two rows. */
function keyRows(film, panel, left, right) {
  let row = 0
  let at = left
  return keyItems(film, panel).map(item => {
    const weight = item.band && item.band.checked ? 600 : 400
    const whole = fitting(item.words, right - left - 28, 11, weight)
    const long = item.parts && widthOf(whole, 11, weight) > right - left - 28
    const lines = long ? item.parts : [whole]
    const wide = 28 + Math.max(...lines.map(line => widthOf(line, 11, weight)))
    if (at > left && at + wide > right) {
      row += 1
      at = left
    }
    const placed = { ...item, lines, weight, left: at, row }
    row += lines.length - 1
    at = long ? right : at + wide + 18
    return placed
  })
}

/** Where everything stands: margins, the lane of names, each panel's head, key and plot, axis and overview. */
function placesOf(film, panels, width, height) {
  const left = width < 480 ? 46 : 54
  const right = width - 10
  const names = new Set(film.marks.map(mark => `${mark.side} ${mark.kind}`))
  const rows = Math.min(names.size, LANE_ROWS)
  const lane = { top: 2, rows, bottom: rows * ROW + 4 }
  const keys = panels.map(panel => keyRows(film, panel, left, right))
  const heads = keys.map(key => 20 + Math.max(0, ...key.map(({ row, lines }) => row + lines.length)) * ROW)
  const fixed = lane.bottom + 4 + heads.reduce((sum, head) => sum + head + 6, 0) + 88
  const natural = fixed + panels.length * (width < 480 ? 78 : 92)
  const plotHeight = Math.max(((height ?? natural) - fixed) / panels.length, 20)
  let at = lane.bottom + 4
  const plots = panels.map((_, n) => {
    const place = { head: at, key: at + 18, keys: keys[n], top: at + heads[n], bottom: at + heads[n] + plotHeight }
    at = place.bottom + 6
    return place
  })
  const axis = at - 6
  const overview = { left, right, top: axis + 52, bottom: axis + 80 }
  return { width, height: height ?? natural, left, right, lane, plots, axis, overview }
}

/** The scale of a panel in a window: of the whole run, or of the window alone where the run would press it flat. */
function scaleOf(film, panel, first, last) {
  const groups = panel.limits.map(({ levels }) => ({ levels, stretch: LIMIT_STRETCH }))
  for (const { low, high, base, checked } of panel.bands) {
    groups.push({ levels: [low - base, high - base], stretch: checked ? CHECKED_STRETCH : LIMIT_STRETCH })
  }
  const reach = (low, high) => [
    Math.min(...panel.curves.map((curve, n) => low(curve, n) - curve.base)),
    Math.max(...panel.curves.map((curve, n) => high(curve, n) - curve.base)),
  ]
  const here = panel.curves.map(curve => reachOf(curve.signal, first, last))
  const run = reach(curve => curve.low, curve => curve.high)
  const window = reach((_, n) => here[n].low, (_, n) => here[n].high)
  const least = (panel.kind === "length" ? 0.1 : 2) * film.units[panel.kind].factor
  const own = run[1] - run[0] > FLAT * Math.max(window[1] - window[0], least)
  const [low, high] = own ? window : run
  const span = spanOf(low, high, groups, least)
  const foot = STATES[panel.name] ? 0.08 * (span.high - span.low) : 0 // room for the bars of its states
  return { low: span.low - foot, high: span.high, own }
}

/** Draw all that stands still in a window. */
function paintStill(context, ratio, film, panels, look, places, drawn) {
  const { from, to } = drawn.window
  const { left, right } = places
  const room = makeRoom()
  const xOf = time => left + ((time - from) / (to - from)) * (right - left)
  const first = Math.max(0, Math.floor((from - film.start) / film.step))
  const last = Math.max(first + 1, Math.min(film.count, Math.ceil((to - film.start) / film.step) + 1))
  context.textBaseline = "alphabetic"
  context.lineJoin = "round"
  const chart = { context, ratio, film, look, places, room, xOf, first, last, from, to }
  drawn.plot = { left, right }
  drawn.overview = places.overview
  panels.forEach((panel, n) => {
    const place = places.plots[n]
    const scale = scaleOf(film, panel, first, last)
    const frame = { top: place.top, bottom: place.bottom, low: scale.low, high: scale.high, ticks: [] }
    drawn.panels[panel.name] = frame
    paintPanel({ ...chart, panel, place, frame, scale, last: panels.length - 1 === n, end: last })
  })
  paintMarks(chart)
  paintOverview(chart)
}

/** The height of a value in a panel. */
function heightIn(panel, value) {
  return panel.bottom - ((value - panel.low) / (panel.high - panel.low)) * (panel.bottom - panel.top)
}

/** What moves: the cursor, a point on each curve, and the figures there. */
function drawCursor(context, film, panels, look, places, drawn, view) {
  const { left, right, overview, axis } = places
  const x = left + ((view.time - view.from) / (view.to - view.from)) * (right - left)
  drawn.time = view.time
  drawn.cursor = x
  context.strokeStyle = context.fillStyle = look.text
  context.lineWidth = 1
  context.beginPath()
  for (let n = 0; n < panels.length; n++) {
    context.moveTo(x, places.plots[n].top)
    context.lineTo(x, places.plots[n].bottom)
  }
  context.moveTo(x, axis)
  context.lineTo(x, axis + 20)
  const all = overview.left + ((view.time - film.start) / (film.end - film.start)) * (overview.right - overview.left)
  context.moveTo(all, overview.top - 3)
  context.lineTo(all, overview.bottom + 3)
  context.stroke()
  for (let n = 0; n < panels.length; n++) drawPoints(context, film, panels[n], look, places, drawn, x, n, view.time)
  context.font = `600 11px ${SCALE_FONT}`
  context.textAlign = "center"
  const near = Math.min(Math.max(x, left + 29), right - 29)
  context.fillStyle = look.text
  context.fillRect(near - 29, axis + 18, 58, 15)
  context.fillStyle = look.ground
  context.fillText(`${figureOf(view.time, 2)}\u00a0s`, near, axis + 29.5)
}

/** The points of one panel's curves at the cursor, and their figures at the right of its head. */
function drawPoints(context, film, panel, look, places, drawn, x, n, time) {
  const frame = drawn.panels[panel.name]
  const baseline = places.plots[n].head + 13
  let end = places.right
  context.font = `600 12px ${SCALE_FONT}`
  context.textAlign = "right"
  for (let c = panel.curves.length - 1; c >= 0; c--) {
    const { side, base, place } = panel.curves[c]
    const value = sampleAt(film, side, panel.name, time)
    const y = heightIn(frame, value - base)
    drawn.points[side.letter][panel.name] = y
    if (panel.shared) drawn.points[film.sides[1].letter][panel.name] = y
    context.strokeStyle = look.ground
    context.fillStyle = side.colour
    context.lineWidth = 1.5
    context.beginPath()
    if (place === 0) context.arc(x, y, 4, 0, 2 * Math.PI)
    else context.rect(x - 3.5, y - 3.5, 7, 7)
    context.fill()
    context.stroke()
    context.fillStyle = look.text
    const letters = panel.shared ? "A and B" : film.sides.length > 1 ? side.letter : ""
    context.fillText(`${letters} ${bareFigure(film, panel.kind, value)}`, end, baseline)
    end -= places.width < 480 ? 68 : 84
  }
}
