// How things are drawn: two palettes, steel, rock and water, words with a ground under them, measures.

const PALETTES = {
  light: {
    sky: "#F7FAFC", steel: "#CBD4DE", shade: "#9DAAB8", edge: "#3A4756", water: "#D5E9F4", swell: "#2D7BA8",
    rock: "#E2D8C8", grain: "#AB9B82", mud: "#CDBFA8", gas: "#FBE9BD", grainGas: "#8F6A00", oil: "#CFE6DC", halo: "#F7FAFC",
  },
  dark: {
    sky: "#131B24", steel: "#596879", shade: "#3C4957", edge: "#C3CFDB", water: "#123349", swell: "#5FB2DC",
    rock: "#39322A", grain: "#7D6E5A", mud: "#4A4033", gas: "#4D411C", grainGas: "#F0C95C", oil: "#1F4A3F", halo: "#131B24",
  },
}
const FACE = "system-ui, 'DejaVu Sans', 'Liberation Sans', Arial, sans-serif"

function paletteOf(film) {
  return { ...PALETTES[film.look.name] ?? PALETTES.light, text: film.look.text, muted: film.look.muted, over: film.look.over }
}

// A canvas off the page for what stays as it is, as sharp as the one it is copied to.
function stillCanvas(width, height, sharp, drawn) {
  const canvas = document.createElement("canvas")
  canvas.width = Math.max(Math.round(width * sharp), 1)
  canvas.height = Math.max(Math.round(height * sharp), 1)
  const context = canvas.getContext("2d")
  context.scale(sharp, sharp)
  drawn(context)
  return canvas
}

// A pen of side A fills and draws through; of a side laid over another it only outlines, in dashes, in its colour.
function makePen(colours, colour, dash, ghost) {
  return { colours, colour, dash, ghost, line: ghost ? colour : colours.edge }
}

function startPath(context, pen, wide) {
  context.lineWidth = wide
  context.strokeStyle = pen.line
  context.setLineDash(pen.ghost ? pen.dash : NO_DASH)
  context.beginPath()
}
const NO_DASH = []

function endPath(context, pen, fill) {
  if (fill && !pen.ghost) {
    context.fillStyle = fill
    context.fill()
  }
  context.stroke()
}

function box(context, pen, x, y, width, height, fill, round = 0) {
  startPath(context, pen, 1.2)
  if (round) context.roundRect(x, y, width, height, round)
  else context.rect(x, y, width, height)
  endPath(context, pen, fill)
}

function rule(context, pen, x, y, toX, toY, wide = 1.2) {
  startPath(context, pen, wide)
  context.moveTo(x, y)
  context.lineTo(toX, toY)
  context.stroke()
}

function wheel(context, pen, x, y, radius, fill) {
  startPath(context, pen, 1.2)
  context.arc(x, y, radius, 0, 2 * Math.PI)
  endPath(context, pen, fill)
}

// Words that stay readable over what lies behind them.
function words(context, colours, text, x, y, { size = 12, bold = false, colour = colours.text, align = "left" } = {}) {
  context.font = `${bold ? 650 : 400} ${size}px ${FACE}`
  context.textAlign = align
  context.textBaseline = "middle"
  context.setLineDash(NO_DASH)
  context.lineJoin = "round"
  context.lineWidth = 4
  context.strokeStyle = colours.halo
  context.strokeText(text, x, y)
  context.fillStyle = colour
  context.fillText(text, x, y)
}

// A text, or as much of it as there is room for.
function fitted(context, text, room, size = 12) {
  context.font = `400 ${size}px ${FACE}`
  if (context.measureText(text).width <= room) return text
  let kept = text
  while (kept && context.measureText(`${kept}…`).width > room) kept = kept.slice(0, -1)
  return `${kept.trimEnd()}…`
}

// Slanted strokes of rock in a rectangle.
function hatch(context, colours, x, y, width, height, step = 9) {
  context.save()
  context.beginPath()
  context.rect(x, y, width, height)
  context.fillStyle = colours.rock
  context.fill()
  context.clip()
  context.strokeStyle = colours.grain
  context.globalAlpha = 0.55
  context.lineWidth = 1
  context.beginPath()
  for (let left = x - height; left < x + width; left += step) {
    context.moveTo(left, y + height)
    context.lineTo(left + height, y)
  }
  context.stroke()
  context.restore()
}

// Two wavy strokes where something is cut short, as on a drawing of a long shaft.
function breakMark(context, colours, x, y, half) {
  context.save()
  context.setLineDash(NO_DASH)
  for (const [wide, colour] of [[7, colours.halo], [1.3, colours.edge]]) {
    context.strokeStyle = colour
    context.lineWidth = wide
    for (const lift of wide > 2 ? [0] : [-3.5, 3.5]) {
      context.beginPath()
      context.moveTo(x - half, y + lift + 2)
      context.bezierCurveTo(x - half / 3, y + lift - 5, x + half / 3, y + lift + 7, x + half, y + lift - 2)
      context.stroke()
    }
  }
  context.restore()
}

// A bar of a round length with its words: the scale of a view.
function scaleBar(context, colours, x, y, pixels, text) {
  const pen = makePen(colours, colours.text, NO_DASH, false)
  rule(context, pen, x, y, x + pixels, y, 1.6)
  rule(context, pen, x, y - 4, x, y + 4, 1.6)
  rule(context, pen, x + pixels, y - 4, x + pixels, y + 4, 1.6)
  words(context, colours, text, x + pixels + 6, y, { size: 11.5, colour: colours.muted })
}

// Rays from a point: something struck something. `age` from 0 to 1.
function strike(context, colours, x, y, size, age) {
  context.save()
  context.globalAlpha = 1 - age
  context.strokeStyle = colours.over
  context.lineWidth = 3
  context.setLineDash(NO_DASH)
  context.beginPath()
  for (let ray = 0; ray < 8; ray++) {
    const angle = (ray + 0.5) * Math.PI / 4, near = size * (0.35 + 0.4 * age), far = size * (0.6 + 0.6 * age)
    context.moveTo(x + near * Math.cos(angle), y + near * Math.sin(angle))
    context.lineTo(x + far * Math.cos(angle), y + far * Math.sin(angle))
  }
  context.stroke()
  context.restore()
}
