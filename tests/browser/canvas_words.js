// Keeps what is written on every canvas, and its level lines, with their places on the canvas.
(() => {
  const kept = new Map(), paper = CanvasRenderingContext2D.prototype
  const of = canvas => {
    const size = `${canvas.width}x${canvas.height}`
    if (!kept.has(size)) kept.set(size, { words: new Map(), strokes: [] })
    return kept.get(size)
  }
  const write = paper.fillText
  paper.fillText = function (text, x, y) {
    const size = parseFloat(this.font.match(/([\d.]+)px/)[1]), wide = this.measureText(text).width, at = this.getTransform()
    const left = x - wide * ({ center: 0.5, right: 1, end: 1 }[this.textAlign] || 0), middle = this.textBaseline === "middle"
    const top = y - size * (middle ? 0.38 : 0.73), bottom = y + size * (middle ? 0.38 : 0.04)
    const put = (px, py) => [at.a * px + at.c * py + at.e, at.b * px + at.d * py + at.f]
    const [[l, t], [r, b]] = [put(left, top), put(left + wide, bottom)]
    if (text.trim()) of(this.canvas).words.set(`${text} ${Math.round(l)} ${Math.round(t)}`, { text, left: l, right: r, top: t, bottom: b })
    return write.apply(this, arguments)
  }
  for (const name of ["moveTo", "lineTo", "beginPath", "stroke"]) {
    const done = paper[name]
    paper[name] = function (...given) {
      if (name === "beginPath") this.path = []
      if (name === "moveTo") this.pen = given
      if (name === "lineTo") { (this.path ??= []).push([...(this.pen ?? given), ...given]); this.pen = given }
      if (name === "stroke" && this.globalAlpha > 0.4 && this.lineWidth >= 1 && this.lineWidth < 4) {
        const at = this.getTransform()
        const level = (this.path ?? []).filter(([x1, y1, x2, y2]) => Math.abs(y1 - y2) < 0.5 && Math.abs(x1 - x2) > 60)
        of(this.canvas).strokes.push(...level.map(([x1, y1, x2, y2]) => [at.a * x1 + at.e, at.d * y1 + at.f, at.a * x2 + at.e, at.d * y2 + at.f]))
      }
      return done.apply(this, given)
    }
  }
  window.canvasForget = () => kept.clear()
  window.canvasWords = () => [...document.querySelectorAll(".film-picture canvas, .film-gauges canvas, .film-traces canvas")].map(canvas => {
    const { words, strokes } = of(canvas)
    return { name: `film ${canvas.parentElement.className}`, boxes: [...words.values()], strokes }
  })
})()
