// The film in words: the instant for who cannot see it or wants its figures, and the traces as a table.

const QUANTITIES = { heave: "heave", stroke: "stroke", hook_load: "hook load", bit_force: "weight on bit", gas_pressure: "gas pressure" }
const WORDS_OF_STATES = [
  [OFF_BOTTOM, "the bit is off bottom"],
  [AT_END, "the unit is against an end of its stroke"],
  [LOCKED, "the unit is locked"],
  [SEALS_HOLD, "the seals hold the unit still"],
  [ACTIVE_WORKS, "the active part is at work"],
  [FEEDS_OFF, "the driller feeds off"],
]

/** What holds in words, by the flags of a side. */
function statesIn(flags) {
  return WORDS_OF_STATES.filter(([flag]) => flags & flag && !(flag === SEALS_HOLD && flags & LOCKED)).map(([, words]) => words)
}

/** All flags raised from one time up to another; at the sample nearest to it where both are the same. */
function flagsWithin(film, side, from, to) {
  const last = Math.min(Math.ceil((to - film.start) / film.step - 1e-6), side.flags.length)
  let flags = flagAt(film, side, from)
  for (let row = Math.max(Math.ceil((from - film.start) / film.step - 1e-6), 0); row < last; row++) flags |= side.flags[row]
  return flags
}

/** What is marked from one time up to another, each name once and with how often. */
function marksWithin(film, from, to) {
  const times = new Map()
  for (const mark of film.marks) {
    if (mark.time < from - 1e-6 || mark.time >= to - 1e-6) continue
    const words = markWords(film, mark)
    times.set(words, (times.get(words) || new Set()).add(mark.time))
  }
  return [...times].map(([words, { size }]) => (size > 1 ? `${words}, ${size} times` : words))
}

/** Quantities the film can tell of a side, each with the kind of its unit; heave apart where both sides share it. */
function toldOf(film, side, shared) {
  const kinds = [...film.panels.map(panel => [panel.name, panel.kind]), ["gas_pressure", "pressure"]]
  return kinds.filter(([name]) => signalOf(side, name) && !(shared && name === "heave"))
}

function heaveIsShared(film) {
  return film.sides.length > 1 && sameSignal(film.sides[0].signals.heave, film.sides[1].signals.heave)
}

/** How far the blow of a landing can be trusted, as found against a finer simulation. */
function blowWords(film) {
  const { symbol, factor } = film.units.length
  const [near, far] = [3000, 7000].map(depth => `${figureOf(depth / factor, 0)}\u00a0${symbol}`)
  return `blow of a landing right to some 5 % on ${near} of string, 14 % on ${far}`
}

/** The instant in words: every figure with its unit, what holds, what just happened. */
function instantText(film, time) {
  const shared = heaveIsShared(film)
  const heave = shared ? ` Heave ${wholeFigure(film, "length", sampleAt(film, film.sides[0], "heave", time))}.` : ""
  const sides = film.sides.map(side => {
    const figures = toldOf(film, side, shared).map(([name, kind]) =>
      `${QUANTITIES[name] || name} ${wholeFigure(film, kind, sampleAt(film, side, name, time))}`)
    const said = [...figures, ...statesIn(flagAt(film, side, time))].join(", ")
    return film.sides.length > 1 ? ` ${side.letter}, ${side.label}: ${said}.` : ` ${said.charAt(0).toUpperCase()}${said.slice(1)}.`
  })
  const just = marksWithin(film, time - 1, time + film.step)
  const landed = film.marks.some(mark => mark.kind === "landing" && mark.time >= time - 1 && mark.time <= time)
  const happened = just.length ? ` In the last second: ${just.join("; ")}${landed ? ` (${blowWords(film)})` : ""}.` : ""
  const captions = film.captions.filter(caption => caption.from <= time && time < caption.to).map(caption => ` ${caption.text}`)
  return `At ${figureOf(time, 2)}\u00a0s.${heave}${sides.join("")}${happened}${captions.join("")}`
}

/** A cell of the table with its text and attributes. */
function tableCell(row, name, text, attributes = {}) {
  const cell = document.createElement(name)
  cell.textContent = text
  for (const [key, value] of Object.entries(attributes)) cell.setAttribute(key, value)
  row.append(cell)
}

/** The traces of a window `{from, to}` as a table: a row a second, units in the head. */
function traceTable(film, { from, to }) {
  const shared = heaveIsShared(film)
  const sides = film.sides.map(side => ({ side, told: toldOf(film, side, shared) }))
  const table = document.createElement("table")
  const first = Math.max(Math.ceil(from - 1e-6), Math.ceil(film.start))
  const last = Math.min(Math.floor(to + 1e-6), Math.floor(film.end + 1e-6))
  table.createCaption().textContent = `Traces from ${figureOf(first, 0)} to ${figureOf(last, 0)}\u00a0s: figures at each full second, ` +
    "and what held or happened within the second that follows"
  tableHead(film, table.createTHead(), sides, shared)
  const body = table.createTBody()
  for (let second = first; second <= last; second++) {
    const row = body.insertRow()
    tableCell(row, "th", figureOf(second, 0), { scope: "row" })
    if (shared) tableCell(row, "td", bareFigure(film, "length", sampleAt(film, film.sides[0], "heave", second)))
    for (const { side, told } of sides) {
      for (const [name, kind] of told) tableCell(row, "td", bareFigure(film, kind, sampleAt(film, side, name, second)))
      tableCell(row, "td", statesIn(flagsWithin(film, side, second, second + 1)).join(", "))
    }
    tableCell(row, "td", marksWithin(film, second, second + 1).join("; "))
  }
  return table
}

/** Head of the table: a row of the sides where there are two, and a row of quantities with their units. */
function tableHead(film, head, sides, shared) {
  const names = head.insertRow()
  if (sides.length > 1) {
    const down = { scope: "col", rowspan: 2 }
    const columns = head.insertRow()
    tableCell(names, "th", "Time [s]", down)
    if (shared) tableCell(names, "th", `Heave [${film.units.length.symbol}]`, down)
    for (const { side, told } of sides) tableCell(names, "th", `${side.letter}: ${side.label}`, { scope: "colgroup", colspan: told.length + 1 })
    tableCell(names, "th", "Happens", down)
    sides.forEach(({ told }) => headOfSide(film, columns, told))
  } else {
    tableCell(names, "th", "Time [s]", { scope: "col" })
    headOfSide(film, names, sides[0].told)
    tableCell(names, "th", "Happens", { scope: "col" })
  }
}

function headOfSide(film, row, told) {
  for (const [name, kind] of told) {
    const words = QUANTITIES[name] || name
    tableCell(row, "th", `${words.charAt(0).toUpperCase()}${words.slice(1)} [${film.units[kind].symbol}]`, { scope: "col" })
  }
  tableCell(row, "th", "What holds", { scope: "col" })
}
