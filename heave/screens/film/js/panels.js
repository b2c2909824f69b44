// The still parts of the traces: axes, bands, limits, curves, the names of what happens, the whole run.
// `chart` holds the canvas, the window and the places; each function draws one thing of it.

const LIMIT_DASH = [9, 3, 2, 3]
const CHECKED_DASH = [[], [11, 4]] // of A and of B
const LIKELY_DASH = [[1.5, 5.5], [1.5, 9]]

/** One panel: head, key of its bands, ticks, bands, limits, states, curves, words. */
function paintPanel(chart) {
  const { context, place, look, places } = chart
  paintHead(chart)
  paintTicks(chart)
  context.save()
  context.beginPath()
  context.rect(places.left, place.top, places.right - places.left, place.bottom - place.top)
  context.clip()
  chart.panel.bands.filter(band => band.checked).forEach(band => fillBand(chart, band))
  chart.panel.bands.slice().reverse().forEach(band => edgeBand(chart, band)) // what is checked lies on top
  paintStates(chart)
  chart.panel.limits.flatMap(limit => limit.levels).forEach(level => levelLine(chart, level, look.limit, 1.5, LIMIT_DASH))
  chart.panel.curves.forEach(curve => paintCurve(chart, curve))
  context.restore()
  context.strokeStyle = look.line
  context.lineWidth = 1
  context.strokeRect(places.left, place.top, places.right - places.left, place.bottom - place.top)
  place.keys.forEach(item => paintKey(chart, item))
}

/** What the panel shows and in which unit; shorter where the figures at its right need the room. */
function paintHead(chart) {
  const { panel, place, places, film, look, scale } = chart
  const unit = film.units[panel.kind].symbol
  const figures = (places.width < 480 ? 68 : 84) * panel.curves.length + (panel.shared ? 30 : 0)
  const free = places.right - places.left + 40 - figures
  const tried = [
    `${panel.title}, ${unit}${panel.about ? ", about the mean of each" : ""}${scale.own ? ", scale of this window" : ""}`,
    `${panel.title}, ${unit}${panel.about ? ", from means" : ""}${scale.own ? ", own scale" : ""}`,
    `${panel.title}, ${unit}`,
    `${panel.title.split(",")[0]}, ${unit}`,
  ]
  write(chart, fitting(tried, free, 12, 600), places.left - 40, place.head + 13, 12, look.text, 600)
}

/** Lines and figures of the axis; below the last panel the axis of time. */
function paintTicks(chart) {
  const { context, panel, place, places, film, look, scale, frame, xOf, from, to, last } = chart
  const factor = film.units[panel.kind].factor
  const { values, decimals } = ticksOf(scale.low, scale.high, factor, place.bottom - place.top < 70 ? 3 : 5)
  context.lineWidth = 1
  context.font = `11px ${SCALE_FONT}`
  context.textAlign = "right"
  for (const value of values) {
    const y = heightIn(frame, value)
    context.strokeStyle = Math.abs(value) < 1e-9 * factor ? look.line : look.track
    context.beginPath()
    context.moveTo(places.left, y)
    context.lineTo(places.right, y)
    context.stroke()
    context.fillStyle = look.muted
    const baseline = Math.min(Math.max(y + 4, place.top + 8), place.bottom + 1)
    const text = figureOf(value / factor, decimals)
    context.fillText(text, places.left - 5, baseline)
    frame.ticks.push({ text, y })
  }
  context.textAlign = "center"
  for (const time of ticksOf(from, to, 1, places.width < 480 ? 4 : 8).values) {
    const x = xOf(time)
    context.strokeStyle = look.track
    context.beginPath()
    context.moveTo(x, place.top)
    context.lineTo(x, place.bottom)
    context.stroke()
    context.fillStyle = look.muted
    if (last && x > places.left + 8 && x < places.right - 12) context.fillText(`${figureOf(time, 0)}\u00a0s`, x, places.axis + 13)
  }
}

/** A level across the panel. */
function levelLine(chart, value, colour, width, dash) {
  const { context, places, frame } = chart
  const y = heightIn(frame, value)
  context.strokeStyle = colour
  context.lineWidth = width
  context.setLineDash(dash)
  context.beginPath()
  context.moveTo(places.left, y)
  context.lineTo(places.right, y)
  context.stroke()
  context.setLineDash([])
}

/** The ground of a band that is checked. */
function fillBand(chart, band) {
  const { context, places, frame, look } = chart
  const [bottom, top] = [band.low - band.base, band.high - band.base].map(level => heightIn(frame, level))
  context.fillStyle = look.fills[band.place]
  context.globalAlpha = band.place === 0 ? 1 : 0.6
  context.fillRect(places.left, top, places.right - places.left, bottom - top)
  context.globalAlpha = 1
}

/** The edges of a band: strong where it is checked, fine dots where it is only likely. */
function edgeBand(chart, band) {
  const dash = band.checked ? CHECKED_DASH[band.place] : LIKELY_DASH[band.place]
  for (const level of [band.low, band.high]) {
    levelLine(chart, level - band.base, chart.look.edges[band.place], band.checked ? 2 : 1, dash)
  }
}

/** One item of the key, a sample and its words; an arrow in place of the line of a limit outside the scale. */
function paintKey(chart, item) {
  const { context, place, look, scale } = chart
  const baseline = place.key + item.row * ROW + 10
  const { left, band, limit, flag } = item
  const line = (y, colour, width, dash) => {
    context.strokeStyle = colour
    context.lineWidth = width
    context.setLineDash(dash)
    context.beginPath()
    context.moveTo(left, y)
    context.lineTo(left + 22, y)
    context.stroke()
    context.setLineDash([])
  }
  if (limit) {
    const away = limit.levels.map(level => Number(level < scale.low) - Number(level > scale.high))
    if (away.includes(0)) line(baseline - 4, look.limit, 1.5, LIMIT_DASH)
    else away.forEach((down, n) => arrow(context, left + 11 + 12 * (n - (away.length - 1) / 2), baseline - 4, down, look.limit))
  } else if (band && band.checked) {
    context.fillStyle = look.fills[band.place]
    context.fillRect(left, baseline - 8, 22, 9)
    for (const y of [baseline - 8, baseline + 1]) line(y, look.edges[band.place], 2, CHECKED_DASH[band.place])
  } else if (band) line(baseline - 4, look.edges[band.place], 1, LIKELY_DASH[band.place])
  else line(baseline - 4, stateColour(look, flag), 3, [])
  item.lines.forEach((text, n) => write(chart, text, left + 28, baseline + n * ROW, 11, limit ? look.limit : look.text, item.weight))
}

/** An arrow up or down. */
function arrow(context, x, y, down, colour) {
  context.fillStyle = colour
  context.beginPath()
  context.moveTo(x - 5, y - 2 * down)
  context.lineTo(x + 5, y - 2 * down)
  context.lineTo(x, y + 5 * down)
  context.fill()
}

/** Colour of the bar of a state. */
function stateColour(look, flag) {
  return flag === LOCKED ? look.text : flag === SEALS_HOLD ? look.muted : look.limit
}

/** States as bars along the lower edge: bit off bottom; unit against an end, locked, or held still by its seals. */
function paintStates(chart) {
  const { context, panel, place, film, look, xOf, first, end } = chart
  const states = STATES[panel.name] || []
  film.sides.forEach((side, n) => {
    const top = place.bottom - 4 * (film.sides.length - n)
    for (const [flag] of states.slice().reverse()) {
      context.fillStyle = stateColour(look, flag)
      for (let i = first; i < end; i++) {
        if (!(side.flags[i] & flag)) continue
        const start = i
        while (i < end && side.flags[i] & flag) i++
        const left = xOf(film.start + start * film.step)
        context.fillRect(left, top, Math.max(xOf(film.start + i * film.step) - left, 1), 3)
      }
    }
  })
}

/** A curve of the window: least and greatest of every column of dots, in the order they came, so no blow is lost. */
function paintCurve(chart, curve) {
  const { context, ratio, film, frame, places, xOf, first, end } = chart
  const yOf = n => heightIn(frame, curve.signal[n] - curve.base)
  const columns = (places.right - places.left) * ratio
  const each = Math.max(1, (end - first) / columns)
  context.strokeStyle = curve.side.colour
  context.lineWidth = 1.6
  context.setLineDash(curve.place === 0 ? [] : [6, 3])
  context.beginPath()
  for (let from = first; from < end; from += each) {
    const start = Math.ceil(from)
    const stop = Math.min(Math.max(Math.ceil(from + each), start + 1), end)
    let least = start
    let most = start
    for (let n = start; n < stop; n++) {
      if (curve.signal[n] < curve.signal[least]) least = n
      if (curve.signal[n] > curve.signal[most]) most = n
    }
    const [one, other] = least < most ? [least, most] : [most, least]
    context.lineTo(xOf(film.start + one * film.step), yOf(one))
    if (other !== one) context.lineTo(xOf(film.start + other * film.step), yOf(other))
  }
  context.stroke()
  context.setLineDash([])
}

/** What a mark is called: with its side's letter where there are two and the other has not the same mark. */
function markWords(film, mark) {
  const both = film.marks.some(other => other.side !== mark.side && other.word === mark.word && other.time === mark.time)
  return film.sides.length > 1 && mark.side && !both ? `${mark.side}: ${mark.word}` : mark.word
}

/** Marks of the window, neighbours of one kind told as one: first those made to happen, from left to right, whose
 * names stand in the rows from the top; then what came of them, from right to left, from the lowest row. So ordered,
 * a name, which stands to the right of its mark, does not lie in the way of the lines of those that follow. */
function groupedMarks(chart) {
  const { film, xOf, from, to } = chart
  const groups = []
  for (const mark of film.marks) {
    if (mark.time < from || mark.time > to) continue
    const words = markWords(film, mark)
    const kind = `${words === mark.word ? "" : mark.side} ${mark.kind}`
    const x = xOf(mark.time)
    const near = groups.find(group => group.kind === kind && x - group.x < widthOf(`${group.words[0]} \u00d700`, 11, 600) + 12)
    if (!near) groups.push({ kind, x, words: [words], times: [mark.time], follows: !mark.made })
    else if (!near.times.includes(mark.time)) {
      near.times.push(mark.time)
      near.words.push(words)
    }
  }
  return groups.sort((one, other) => Number(one.follows) - Number(other.follows) || (one.follows ? other.x - one.x : one.x - other.x))
}

/** Names of a group of marks, the longest first: how often, and the figure only where it is that of all. */
function groupNames({ words }) {
  const often = words.length === 1 ? "" : ` \u00d7${words.length}`
  const short = words[0].split(",")[0]
  return new Set([words.every(word => word === words[0]) ? words[0] : short, short].map(name => name + often))
}

/** A line through the panels at every mark, and the names above them where one covers no other. */
function paintMarks(chart) {
  const { context, places, look, xOf } = chart
  for (const group of groupedMarks(chart)) {
    context.strokeStyle = context.fillStyle = group.follows ? look.muted : look.text
    context.lineWidth = group.follows ? 1 : 1.5
    context.setLineDash(group.follows ? [2, 3] : [7, 3])
    context.beginPath()
    for (const x of group.times.map(time => Math.round(xOf(time) - 0.5) + 0.5)) { // on whole dots, to be sharp
      for (const plot of places.plots) {
        context.moveTo(x, plot.top)
        context.lineTo(x, plot.bottom)
      }
    }
    context.stroke()
    context.setLineDash([])
    group.times.forEach(time => arrow(context, xOf(time), places.lane.bottom - 2, 1, context.fillStyle))
    for (const text of groupNames(group)) if (nameMark(chart, group, text)) break
  }
}

/** The name of a mark: to its right in the first row that is free, else over it at the edge, else to its left. Whether
 * there was room; what is not named here is in the words and the table under the film. */
function nameMark(chart, group, text) {
  const { context, places, room } = chart
  const { top: first, rows, bottom } = places.lane
  const weight = group.follows ? 400 : 600
  const width = widthOf(text, 11, weight)
  const edge = places.right + 8 - width
  for (const left of [Math.min(group.x + 5, edge), group.x - 5 - width]) {
    for (let n = 0; n < rows; n++) {
      const top = first + (group.follows ? rows - 1 - n : n) * ROW
      const box = { text, left, right: left + width, top, bottom: top + ROW - 1 }
      const over = left <= group.x && group.x <= box.right
      const line = { left: group.x - 1, right: group.x + 1, top: over ? top + ROW : top, bottom }
      if (left < 2 || !room.free(box) || !room.free({ ...line, top: top + ROW })) continue
      room.taken.push(box, line)
      context.font = `${weight} 11px ${SCALE_FONT}`
      context.textAlign = "left"
      context.fillText(text, left, top + 10)
      context.fillRect(group.x - 0.5, line.top, 1, bottom - line.top)
      return true
    }
  }
  return false
}

/** Weight on bit of the whole run, a strip for each side, with the window marked. */
function paintOverview(chart) {
  const { context, places, film, look, from, to } = chart
  const { left, right, top, bottom } = places.overview
  const xOf = time => left + ((time - film.start) / (film.end - film.start)) * (right - left)
  const panel = film.panels[film.panels.length - 1]
  const words = `Whole run, ${panel.title.toLowerCase()}, ${figureOf(film.start, 0)} to ${figureOf(film.end, 0)}\u00a0s; window of ${figureOf(to - from, 0)}\u00a0s`
  write(chart, words, places.left, top - 8, 11, look.muted)
  context.fillStyle = look.track
  context.fillRect(left, top, right - left, bottom - top)
  const strip = (bottom - top) / film.sides.length
  const reaches = film.sides.map(side => reachOf(side.signals[panel.name], 0, film.count))
  const low = Math.min(...reaches.map(reach => reach.low))
  const high = Math.max(...reaches.map(reach => reach.high), low + 1e-9)
  film.sides.forEach((side, n) => {
    const base = top + (n + 1) * strip - 1
    if (film.sides.length > 1) write(chart, side.letter, left - 14, base - strip / 2 + 5, 11, look.text, 600)
    context.fillStyle = side.colour
    for (let x = left; x < right; x += 1) {
      const first = Math.floor(((x - left) / (right - left)) * film.count)
      const past = Math.max(first + 1, Math.floor(((x + 1 - left) / (right - left)) * film.count))
      const reach = reachOf(side.signals[panel.name], first, Math.min(past, film.count))
      const [y, end] = [reach.high, reach.low].map(value => base - ((value - low) / (high - low)) * (strip - 2))
      context.fillRect(x, y, 1, Math.max(end - y, 1))
    }
  })
  context.globalAlpha = 0.62
  context.fillStyle = look.ground
  context.fillRect(left, top, xOf(Math.max(from, film.start)) - left, bottom - top)
  context.fillRect(xOf(Math.min(to, film.end)), top, right - xOf(Math.min(to, film.end)), bottom - top)
  context.globalAlpha = 1
  context.fillStyle = look.text
  for (const mark of film.marks) context.fillRect(xOf(mark.time) - 0.5, top - 4, 1, 4)
  context.strokeStyle = look.text
  context.lineWidth = 1.5
  context.strokeRect(xOf(Math.max(from, film.start)), top, xOf(Math.min(to, film.end)) - xOf(Math.max(from, film.start)), bottom - top)
}
