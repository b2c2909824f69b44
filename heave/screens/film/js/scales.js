// What traces and gauges share: the span of a scale, its ticks, colours that keep their contrast, places for words.

const SCALE_FONT = "system-ui, 'DejaVu Sans', 'Liberation Sans', Arial, sans-serif"

/** Low and high of a scale: the data, at least `least` wide, and what of `groups` leaves the data room enough: levels
 * that come in together, where the scale is then no more than `stretch` times as wide as the data. */
function spanOf(low, high, groups, least) {
  const middle = (low + high) / 2
  let from = Math.min(low, middle - least / 2)
  let to = Math.max(high, middle + least / 2)
  const wide = to - from
  const away = ({ levels }) => Math.max(...levels.map(level => Math.max(low - level, level - high, 0)))
  for (const { levels, stretch } of [...groups].sort((one, other) => away(one) - away(other))) {
    const lower = Math.min(from, ...levels)
    const upper = Math.max(to, ...levels)
    if (upper - lower <= stretch * wide) [from, to] = [lower, upper]
  }
  const spare = 0.07 * (to - from)
  return { low: from - spare, high: to + spare }
}

/** Ticks on whole steps of the unit shown: SI values, and the decimals their figures need; at most `most` + 1. */
function ticksOf(low, high, factor, most) {
  const rough = (high - low) / factor / most
  const power = 10 ** Math.floor(Math.log10(rough))
  const times = [1, 2, 2.5, 5, 10].find(each => each * power >= rough * 0.999)
  const step = times * power
  const values = []
  for (let n = Math.ceil(low / factor / step - 1e-9); n * step <= high / factor + 1e-9 * step; n++) {
    values.push(n * step * factor)
  }
  return { values, decimals: Math.max(0, (times === 2.5 ? 1 : 0) - Math.floor(Math.log10(step) + 1e-9)) }
}

/** A figure with its thousands apart and a true minus sign, as the rest of the planner writes it. */
function figureOf(value, decimals) {
  const text = Math.abs(value).toFixed(decimals)
  const whole = text.indexOf(".") < 0 ? text.length : text.indexOf(".")
  let grouped = text
  for (let place = whole - 3; place > 0; place -= 3) {
    grouped = `${grouped.slice(0, place)}\u202f${grouped.slice(place)}`
  }
  return value < 0 && Number(text) !== 0 ? `\u2212${grouped}` : grouped
}

/** Decimals of a kind of quantity in the unit shown: to the centimetre, a tenth of a kN or bar, a psi. */
function decimalsOf(film, kind) {
  if (kind === "length") return 2
  return film.units[kind].symbol === "psi" ? 0 : 1
}

/** The figure of an SI value in the unit shown, without the unit. */
function bareFigure(film, kind, value) {
  return figureOf(value / film.units[kind].factor, decimalsOf(film, kind))
}

/** A limit or an edge of a band: without decimals that say nothing. */
function levelFigure(film, kind, value) {
  return `${bareFigure(film, kind, value).replace(/\.0+$/, "")}\u00a0${film.units[kind].symbol}`
}

/** The same with its unit, the space between them not to be broken. */
function wholeFigure(film, kind, value) {
  return `${bareFigure(film, kind, value)}\u00a0${film.units[kind].symbol}`
}

/** Red, green and blue of "#rrggbb", 0 to 255. */
function rgbOf(colour) {
  return [1, 3, 5].map(place => parseInt(colour.slice(place, place + 2), 16))
}

/** A share of one colour laid over another, as "#rrggbb". */
function mixed(over, under, share) {
  const beneath = rgbOf(under)
  const parts = rgbOf(over).map((part, n) => Math.round(share * part + (1 - share) * beneath[n]))
  return `#${parts.map(part => part.toString(16).padStart(2, "0")).join("")}`
}

/** Relative luminance as in the Web Content Accessibility Guidelines 2.1. */
function luminanceOf(colour) {
  const [red, green, blue] = rgbOf(colour).map(part => {
    const share = part / 255
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4
  })
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/** Contrast ratio of two colours, 1 to 21. */
function contrastOf(one, other) {
  const [dark, light] = [luminanceOf(one), luminanceOf(other)].sort((a, b) => a - b)
  return (light + 0.05) / (dark + 0.05)
}

/** The colour, moved towards that of the text until it stands out on every ground by the ratio asked for. */
function standingOut(colour, grounds, text, ratio) {
  for (let share = 0; share < 1; share += 0.1) {
    const tried = mixed(text, colour, share)
    if (grounds.every(ground => contrastOf(tried, ground) >= ratio)) return tried
  }
  return text
}

/** Where words can stand without covering others: remembers each box it gives away. */
function makeRoom() {
  const taken = []
  const free = box => taken.every(other =>
    box.right + 4 <= other.left || other.right + 4 <= box.left || box.bottom <= other.top || other.bottom <= box.top)
  return { taken, free }
}

let measuring = null // a canvas to measure words on before any place is known

/** Width of words [px]. */
function widthOf(text, size = 11, weight = 400) {
  measuring ??= document.createElement("canvas").getContext("2d")
  measuring.font = `${weight} ${size}px ${SCALE_FONT}`
  return measuring.measureText(text).width
}

/** The first of the texts that fits the width, else the last. */
function fitting(texts, width, size = 11, weight = 400) {
  return texts.find(text => widthOf(text, size, weight) <= width) || texts[texts.length - 1]
}

/** Words on a canvas, kept in the list of what is written; `chart` holds context and room. */
function write(chart, text, left, baseline, size, colour, weight = 400) {
  const { context, room } = chart
  context.font = `${weight} ${size}px ${SCALE_FONT}`
  context.textAlign = "left"
  context.fillStyle = colour
  context.fillText(text, left, baseline)
  const right = left + widthOf(text, size, weight)
  room.taken.push({ text, left, right, top: baseline - 0.82 * size, bottom: baseline + 0.22 * size })
}

/** A still picture that is kept and laid on the canvas; `paint(still, ratio)` draws it anew when it is stale. */
function makeStill(paint) {
  const canvas = document.createElement("canvas")
  return {
    show(context, width, height, stale) {
      const { width: across, height: down } = context.canvas
      if (stale || canvas.width !== across || canvas.height !== down) {
        canvas.width = across
        canvas.height = down
        const still = canvas.getContext("2d")
        still.scale(across / width, down / height)
        paint(still, across / width)
      }
      context.drawImage(canvas, 0, 0, width, height)
    },
  }
}

/** A signal of a side by its name; no stroke where nothing strokes. */
function signalOf(side, name) {
  return name === "stroke" && side.machine.stroke === null ? undefined : side.signals[name]
}

/** Whether two signals of one run are the same but for the rounding they are sent with. */
function sameSignal(one, other) {
  if (!one || !other || one.length !== other.length) return false
  let most = 0
  let apart = 0
  for (let n = 0; n < one.length; n++) {
    most = Math.max(most, Math.abs(one[n]))
    apart = Math.max(apart, Math.abs(one[n] - other[n]))
  }
  return apart <= 1e-4 * most
}

/** Least and greatest of a signal from one sample to before another. */
function reachOf(signal, first, last) {
  let low = Infinity
  let high = -Infinity
  for (let n = first; n < last; n++) {
    if (signal[n] < low) low = signal[n]
    if (signal[n] > high) high = signal[n]
  }
  return { low, high }
}

/** The limits of all sides, each once, those of one name together: `{word, levels}`, with a letter where sides differ. */
function limitsOf(film, name) {
  const perSide = film.sides.map(side => {
    const words = new Map()
    for (const { word, level } of side.limits[name] || []) words.set(word, [...(words.get(word) || []), level])
    return [...words].map(([word, levels]) => ({ word, levels }))
  })
  const same = (one, other) => one.word === other.word && String(one.levels) === String(other.levels)
  return perSide.flatMap((limits, place) => limits.flatMap(limit => {
    const shared = perSide.every(others => others.some(other => same(limit, other)))
    if (shared && place > 0) return []
    const letter = shared || film.sides.length < 2 ? "" : `${film.sides[place].letter}: `
    return [{ ...limit, word: letter + limit.word }]
  }))
}

/** The levels of a limit in words: "\u00b13.81 m", "40 and 160 kN". */
function levelsFigure(film, kind, levels) {
  if (levels.length === 2 && levels[0] === -levels[1]) return `\u00b1${levelFigure(film, kind, Math.abs(levels[0]))}`
  const last = levelFigure(film, kind, levels[levels.length - 1])
  return levels.length === 1 ? last : `${levels.slice(0, -1).map(level => bareFigure(film, kind, level)).join(", ")} and ${last}`
}
