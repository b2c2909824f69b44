// Makes the page ready for paper when the browser is about to print it, whatever asked for that, and puts it back
// afterwards. All of it happens at once: nothing that waits is ready before the browser takes its picture.

const CLASS = 'heave-paper' // while the page is for paper; the style sheet hangs on it
const TALLEST = 1130 // of a chart, so that it and its heading stand on one sheet of either paper [px]
const undone = (window.heavePaperUndone ??= [])
const all = (selector, root = document) => [...root.querySelectorAll(selector)]
const main = () => document.querySelector('[data-testid=stMain]')

export default function ({ data }) {
  window.heavePaper?.abort()
  const listening = (window.heavePaper = new AbortController())
  addEventListener('beforeprint', () => toPaper(data), { signal: listening.signal })
  addEventListener('afterprint', toScreen, { signal: listening.signal })
}

function toScreen() {
  if (undone.length === 0) return
  while (undone.length) undone.pop()()
  dispatchEvent(new CustomEvent('heave-paper', { detail: one => one }))
}

function toPaper(data) {
  toScreen()
  const recolour = recolouring(data.colours), now = new Date()
  document.documentElement.classList.add(CLASS)
  undone.push(() => document.documentElement.classList.remove(CLASS))
  addPageRules(`${data.foot} · printed ${moment(now)}`)
  all('iframe', main()).forEach(showSheet)
  addTitle(data, now)
  all('input[type=text],textarea', main()).forEach(showTyped)
  all('[style*=color]', main()).forEach(element => recolourStyle(element, recolour))
  all('img[src^="data:image/svg"]', main()).forEach(image => recolourPicture(image, recolour))
  all('.js-plotly-plot', main()).forEach(chart => drawAgain(chart, recolour))
  dispatchEvent(new CustomEvent('heave-paper', { detail: recolour }))
  all('table', main()).forEach(fitTable)
}

function put(element, place) {
  place(element)
  undone.push(() => element.remove())
}

function styled(element, styles) {
  const before = element.getAttribute('style')
  Object.assign(element.style, styles)
  undone.push(() => (before === null ? element.removeAttribute('style') : element.setAttribute('style', before)))
}

// Local time with its offset, and UTC.
function moment(now) {
  const two = number => String(Math.abs(number)).padStart(2, '0')
  const off = -now.getTimezoneOffset(), utc = now.toISOString().slice(0, 16).replace('T', ' ')
  if (off === 0) return `${utc} UTC`
  const local = new Date(now.getTime() + off * 6e4).toISOString().slice(0, 16).replace('T', ' ')
  return `${local} UTC${off < 0 ? '−' : '+'}${two(Math.trunc(off / 60))}:${two(off % 60)} (${utc} UTC)`
}

// A string of CSS: whatever is not a letter or a figure by its number, so nothing in it ends anything.
function cssText(words) {
  return `"${[...words].map(one => (/[A-Za-z0-9]/.test(one) ? one : `\\${one.codePointAt(0).toString(16)} `)).join('')}"`
}

function addPageRules(foot) {
  const box = "font:7.4pt system-ui,'DejaVu Sans','Liberation Sans',Arial,sans-serif;color:#3c4653"
  const rules = document.createElement('style')
  rules.textContent =
    `@page{size:auto;margin:14mm 13mm 17mm 16mm;@bottom-left{content:${cssText(foot)};${box};width:85%}` +
    `@bottom-right{content:"Page " counter(page) " of " counter(pages);${box};white-space:nowrap}}`
  put(rules, element => document.head.append(element))
}

function made(name, kind, ...inside) {
  const element = document.createElement(name)
  if (kind) element.className = kind
  element.append(...inside)
  return element
}

// Whose plan this is and when it was printed, over the page; what nobody may overlook, under it.
function addTitle(data, now) {
  const block = document.querySelector('[data-testid=stMainBlockContainer]')
  const heading = block.querySelector('h1')?.innerText.trim() ?? ''
  const name = [...new Set([data.product, heading])].filter(Boolean).join(' · ')
  const pairs = [...data.title, ['Printed', moment(now)], ['Work', `${data.work}${keptWords()}`]]
  const cells = pairs.map(([label, words]) => [made('th', '', label), made('td', '', words)])
  const rows = []
  for (let at = 0; at < cells.length; at += 2) rows.push(made('tr', '', ...cells.slice(at, at + 2).flat()))
  const title = made('div', 'heave-title', made('p', 'heave-name', name), made('table', '', made('tbody', '', ...rows)))
  put(title, element => block.prepend(element))
  const missing = data.cautions.filter(words => !tight(block.innerText).includes(tight(words)))
  const lines = made('ul', '', ...missing.map(words => made('li', '', words)))
  const foot = made('div', 'heave-cautions', made('h2', '', 'Cautions'), lines)
  const sheet = block.querySelector('.heave-sheet') // it has a sheet of paper to itself, made to be full
  if (missing.length) put(foot, element => (sheet ? sheet.before(element) : block.append(element)))
}

const tight = words => words.replace(/[\s\u2060]+/g, '')

// What the browser's keep says of itself.
function keptWords() {
  const roots = all('[data-testid^=stBidiComponent]').flatMap(host => [host, ...all('*', host)])
  const lines = roots.map(host => host.shadowRoot?.querySelector('p[role=status]')?.textContent)
  const said = lines.find(Boolean)
  return said ? ` ${said}` : ''
}

// A sheet that stands in a frame, as part of the page: a frame would print what is in view of it.
function showSheet(frame) {
  const sheet = frame.contentDocument?.documentElement
  if (!sheet) return
  const copy = document.importNode(sheet, true)
  all('script,meta,link,.screen', copy).forEach(one => one.remove())
  const host = made('div', 'heave-sheet')
  host.attachShadow({ mode: 'open' }).append(copy)
  put(host, element => frame.after(element))
  styled(frame, { display: 'none' })
}

// What is typed in a box, as text: a box cuts what is longer than it is.
function showTyped(box) {
  put(made('span', 'heave-typed', box.value || '–'), element => box.after(element))
  styled(box, { display: 'none' })
}

// From the colours of one theme to those of white paper, in text, lists and whatever holds them; others stay.
function recolouring(pairs) {
  const table = new Map(pairs)
  const hex = (...parts) => `#${parts.map(part => Number(part).toString(16).padStart(2, '0')).join('')}`
  const rgb = found => [1, 3, 5].map(at => parseInt(found.slice(at, at + 2), 16)).join(', ')
  const words = text =>
    text
      .replace(/#[0-9a-f]{6}\b/gi, found => table.get(found.toLowerCase()) ?? found)
      .replace(/(rgba?\()\s*(\d+),\s*(\d+),\s*(\d+)/g, (found, head, ...parts) => {
        const other = table.get(hex(...parts.slice(0, 3)))
        return other ? head + rgb(other) : found
      })
  const mapped = one => {
    if (table.size === 0) return one
    if (typeof one === 'string') return table.get(one) ?? words(one)
    if (Array.isArray(one)) return one.map(mapped)
    if (one?.constructor !== Object) return one
    return Object.fromEntries(Object.entries(one).map(([key, value]) => [key, mapped(value)]))
  }
  return mapped
}

function recolourStyle(element, recolour) {
  if (element.closest('svg') || element.closest('.js-plotly-plot')) return
  const before = element.getAttribute('style'), after = recolour(before)
  if (after === before) return
  element.setAttribute('style', after)
  undone.push(() => element.setAttribute('style', before))
}

function recolourPicture(image, recolour) {
  const before = image.src, text = new TextDecoder().decode(Uint8Array.from(atob(before.split(',')[1]), one => one.charCodeAt(0)))
  const after = recolour(text)
  if (after === text) return
  image.src = `data:image/svg+xml,${encodeURIComponent(after)}`
  undone.push(() => (image.src = before))
}

// The chart once more, as wide as its place on paper, in the colours of paper; the one on the screen is left alone. One
// that is taller than a sheet is drawn smaller, with larger letters as far as its rows have room for them.
function drawAgain(chart, recolour) {
  const height = chart.layout.height ?? chart.clientHeight, smaller = Math.max(height / TALLEST, 1)
  const width = Math.floor(chart.parentElement.clientWidth * smaller)
  const copy = made('div', 'heave-chart')
  put(copy, element => chart.after(element))
  const layout = { ...lettered(recolour(chart.layout), Math.min(smaller, 1.2)), width, height, autosize: false }
  const drawing = window.Plotly.newPlot(copy, recolour(chart.data), layout, { staticPlot: true })
  for (const drawn of all('svg.main-svg', copy)) {
    drawn.setAttribute('viewBox', `0 0 ${width} ${height}`)
    drawn.removeAttribute('width')
    drawn.removeAttribute('height')
  }
  copy.style.aspectRatio = `${width} / ${height}`
  // drawn it is at once, but it may still be measuring its margins when the page is back on the screen
  undone.push(() => drawing.catch(() => {}).then(() => window.Plotly.purge(copy)))
  styled(chart, { display: 'none' })
}

// What a chart is laid out by, all its letters so many times as large.
function lettered(part, times) {
  if (Array.isArray(part)) return part.map(one => lettered(one, times))
  if (!part || Object.getPrototypeOf(part) !== Object.prototype) return part
  const larger = ([key, value]) => [key, key === 'size' ? value * times : lettered(value, times)]
  return Object.fromEntries(Object.entries(part).map(([key, value]) =>
    [key, /font$/.test(key) && value ? Object.fromEntries(Object.entries(value).map(larger)) : lettered(value, times)]))
}

// A table wider than its place is drawn smaller, down to the size of small print.
function fitTable(table) {
  const room = table.parentElement.clientWidth, wide = Math.max(table.scrollWidth, table.offsetWidth)
  if (wide > room) styled(table, { zoom: Math.max(room / wide, 0.6), width: '100%' })
}
