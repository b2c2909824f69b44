// Looks over the page as it stands: words that cover words, lines through words, words that are cut. Gives sentences.
async () => {
  const HAIR = 1.5, AIR = 0.17, STEP = 3 // px; share of a line's height over and under its letters; px along a line
  const found = new Set()
  const told = words => `"${words.trim().replace(/\s+/g, " ").slice(0, 60)}"`
  const boxOf = element => {
    const box = element.getBoundingClientRect()
    const upright = box.height > 2.2 * box.width && element.textContent.trim().length > 2 // letters turned on their side
    const lean = element.querySelector("tspan") ? 0.08 : AIR
    const high = upright ? 0 : lean * box.height, wide = upright ? lean * box.width : 0
    return { left: box.left + wide, right: box.right - wide, top: box.top + high, bottom: box.bottom - high }
  }
  const shared = (a, b) => [Math.min(a.right, b.right) - Math.max(a.left, b.left), Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top)]
  const seen = element => {
    for (let at = element; at instanceof SVGElement; at = at.parentElement) {
      const style = getComputedStyle(at)
      if (style.display === "none" || style.visibility === "hidden" || +style.opacity < 0.2) return false
    }
    return true
  }
  const inkOf = element => {
    const style = getComputedStyle(element), ink = style.stroke.match(/[\d.]+/g)
    const thick = parseFloat(style.strokeWidth) || 0
    const share = (ink && ink.length > 3 ? +ink[3] : 1) * +style.strokeOpacity
    return style.stroke === "none" || !ink || thick < 0.8 || share < 0.3 ? null : { colour: ink.slice(0, 3).map(Number), thick }
  }
  const QUIET = [[230, 234, 240], [38, 49, 61]] // the grid of either look, which words may stand on
  const quiet = colour => QUIET.some(grid => grid.every((part, n) => Math.abs(part - colour[n]) < 8))
  // Points of a stroke on the screen, inside what its figure shows.
  const pointsOf = (element, room) => {
    const to = element.getScreenCTM(), long = element.getTotalLength(), points = []
    if (!to || !long || long > 2e4) return points
    const style = getComputedStyle(element), dash = style.strokeDasharray.match(/[\d.]+/g)
    for (let at = 0; at <= long; at += STEP) {
      const { x, y } = element.getPointAtLength(at).matrixTransform(to)
      if (x >= room.left && x <= room.right && y >= room.top && y <= room.bottom) points.push([x, y])
    }
    return points
  }
  const look = (name, root, room, texts, lines, grounded) => {
    const boxes = texts.map(text => ({ words: text.textContent, box: boxOf(text), text }))
    boxes.forEach((one, place) => {
      const { box } = one
      for (const other of boxes.slice(place + 1)) {
        const [wide, high] = shared(box, other.box)
        if (wide > HAIR && high > HAIR) found.add(`${name}: ${told(one.words)} covers ${told(other.words)} by ${wide.toFixed(0)} × ${high.toFixed(0)} px`)
      }
      const out = Math.max(room.left - box.left, box.right - room.right, room.top - box.top, box.bottom - room.bottom)
      if (out > HAIR) found.add(`${name}: ${told(one.words)} is cut by ${out.toFixed(0)} px`)
    })
    const open = boxes.filter(one => !grounded(one.text))
    for (const { element, within } of lines) {
      const points = pointsOf(element, within)
      for (const { words, box } of open) {
        const hits = points.filter(([x, y]) => x > box.left + 1 && x < box.right - 1 && y > box.top + 1 && y < box.bottom - 1)
        if (hits.length > 1) found.add(`${name}: a line runs through ${told(words)}`)
      }
    }
  }
  const area = element => element.getBoundingClientRect()
  const showing = element => area(element).width > 40 && area(element).height > 40 && element.checkVisibility?.() !== false

  for (const chart of document.querySelectorAll(".js-plotly-plot")) {
    if (!showing(chart)) continue
    const name = chart.closest("[class*=st-key]")?.className.match(/st-key-([\w-]+)/)?.[1] ?? "chart"
    const texts = [...chart.querySelectorAll("svg text")].filter(text => text.textContent.trim() && !text.closest(".hoverlayer") && seen(text) && area(text).width)
    const size = chart._fullLayout?._size, at = area(chart)
    const plot = size ? { left: at.left + size.l - 1, top: at.top + size.t - 1, right: at.left + size.l + size.w + 1, bottom: at.top + size.t + size.h + 1 } : at
    const lines = [...chart.querySelectorAll(".scatterlayer path.js-line, .shapelayer path, .scatterpolar path.js-line, .trace path.js-line")]
      .filter(seen).map(element => ({ element, ink: inkOf(element), within: plot })).filter(({ ink }) => ink && !quiet(ink.colour))
    const grounded = text => { // a plate of its own under the words
      const plate = text.closest(".annotation-text-g, .annotation")?.querySelector("rect.bg")
      return plate ? +getComputedStyle(plate).fillOpacity > 0.6 && getComputedStyle(plate).fill !== "rgba(0, 0, 0, 0)" : false
    }
    look(name, chart, at, texts, lines, grounded)
  }
  for (const image of document.querySelectorAll('[data-testid="stImage"] img, [data-testid="stImageContainer"] img')) {
    if (!showing(image) || area(image).height < 60) continue
    const source = await (await fetch(image.src)).text()
    if (!source.includes("<svg")) continue
    const room = document.createElement("div")
    room.style.cssText = `position:absolute;left:0;top:0;width:${image.clientWidth}px`
    room.innerHTML = source
    document.body.append(room)
    const root = room.querySelector("svg"), name = root.querySelector("title, desc")?.textContent.slice(0, 40) ?? "picture"
    const texts = [...root.querySelectorAll("text")].filter(text => text.textContent.trim())
    const lines = [...root.querySelectorAll("line, path, polyline")].filter(element => !element.closest("defs"))
      .map(element => ({ element, ink: inkOf(element), within: area(root) })).filter(({ ink }) => ink && !quiet(ink.colour))
    look(name, root, area(root), texts, lines, text => text.getAttribute("paint-order") === "stroke")
    room.remove()
  }
  // Words of the page itself that are cut: dots at their end, or more of them than their box shows.
  for (const element of document.querySelectorAll("[data-testid=stApp] *")) {
    const input = element.getAttribute("role") === "combobox" // a pick; what is typed into a box can be gone through
    const own = input ? element.value : [...element.childNodes].filter(node => node.nodeType === 3).map(node => node.data).join("").trim()
    if (!own || !element.getClientRects().length) continue
    const style = getComputedStyle(element)
    if (style.visibility === "hidden" || element.clientWidth < 4 || element.closest(".js-plotly-plot, .katex-mathml")) continue // as read out
    const cuts = input || ["hidden", "clip"].includes(style.overflowX)
    if (cuts && element.scrollWidth > element.clientWidth + 1) found.add(`page: ${told(own)} is cut by ${element.scrollWidth - element.clientWidth} px`)
    const box = area(element)
    let scrolls = false, cut = 0, at = element
    while (!cuts && (at = at.parentElement) && at.dataset?.testid !== "stApp") {
      const over = getComputedStyle(at).overflowX
      if (["auto", "scroll"].includes(over)) { scrolls = true; break }
      if (["hidden", "clip"].includes(over)) cut = Math.max(cut, Math.min(box.right, box.left + element.scrollWidth) - area(at).right)
      if (cut > HAIR) break
    }
    const tile = element.closest("[class*=st-key-tile-list] li")
    if (tile && box.left + element.scrollWidth > area(tile).right) found.add(`page: ${told(own)} runs out of its tile`)
    if (cut > HAIR && !scrolls && box.left < innerWidth && area(element).height < 400) found.add(`page: ${told(own)} is cut by ${cut.toFixed(0)} px`)
  }
  // What the film wrote on its canvases in its last frame.
  for (const { name, boxes, strokes } of window.canvasWords?.() ?? []) {
    boxes.forEach((one, place) => {
      for (const other of boxes.slice(place + 1)) {
        const [wide, high] = shared(one, other)
        if (wide > HAIR && high > HAIR && one.text !== other.text) found.add(`${name}: ${told(one.text)} covers ${told(other.text)} by ${wide.toFixed(0)} × ${high.toFixed(0)} px`)
      }
      for (const [x1, y1, x2, y2] of strokes) {
        const wide = Math.min(one.right - 1, Math.max(x1, x2)) - Math.max(one.left + 1, Math.min(x1, x2))
        const inside = Math.abs(y1 - y2) < 0.5 && y1 > one.top + 1 && y1 < one.bottom - 1 && wide > 4
        if (inside) found.add(`${name}: a line runs through ${told(one.text)}`)
      }
    })
  }
  return [...found]
}
