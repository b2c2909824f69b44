// One for each page of the browser, whatever page of the planner is open. It does what the server cannot: says a
// changed verdict once, keeps the focus where a redrawn page would drop it, and gives elements the roles they lack.
const MAIN = '[data-testid="stMain"]'
const PANEL = `${MAIN} [class*="st-key-verdict-"]`
const LINKS = ['stTopNavLink', 'stTopNavDropdownLink', 'stSidebarNavLink'].map(id => `[data-testid="${id}"]`).join()
const QUIET = 350 // how long nothing may have moved before it is looked at [ms]
const SCROLLS = `pre, ${MAIN} [class*="st-key-wide-"] [data-testid="stMarkdownContainer"],
  ${MAIN} [data-testid="stTable"], ${MAIN} [data-testid="stTable"] div`

const heading = () => document.querySelector(`${MAIN} h1`)
const text = element => (element?.innerText ?? '').replace(/\s+/g, ' ').trim()

function region() {
  const found = document.getElementById('heave-said')
  if (found) return found
  const said = Object.assign(document.createElement('div'), { id: 'heave-said', className: 'heave-said', role: 'status' })
  document.body.append(said)
  return said
}

function focus(element) {
  if (!element) return
  if (element.tabIndex < 0) element.tabIndex = -1
  element.focus({ preventScroll: true })
}

function mend() {
  // named already, but "presentation" takes the name away
  for (const box of document.querySelectorAll('[data-testid="stFileUploaderDropzone"][role="presentation"]')) {
    box.setAttribute('role', 'group')
  }
  // the word of the state stands beside its mark
  for (const mark of document.querySelectorAll(`${MAIN} td img`)) mark.alt = ''
  for (const area of document.querySelectorAll(SCROLLS)) {
    const scrolls = area.scrollWidth > area.clientWidth + 1
    if (scrolls && !area.hasAttribute('tabindex')) area.tabIndex = 0
  }
}

// The answer that stands large on the page, and under what key it is told from another: its word, and what governs.
function answer() {
  const panel = document.querySelector(PANEL)
  const word = panel?.querySelector('h2')
  if (!word || panel.closest('[data-stale="true"]') || panel.querySelector('[data-stale="true"]')) return null
  const block = '[data-testid="stMarkdownContainer"]' // under the word itself stands whose plan it is
  const lines = [...panel.querySelectorAll('p')].filter(line => line.closest(block) !== word.closest(block))
  const governs = lines.find(line => text(line))
  return { key: [text(heading()), text(word), text(governs?.querySelector('strong'))].join('|'),
    words: `${text(heading())}: ${text(word)}. ${text(governs)}` }
}

function helper() {
  const said = region()
  let told = answer()?.key, timer = 0, frame = 0, last = null, place = '', travels = false, page = text(heading())

  const look = () => {
    mend() // again: pictures and letters that came late make tables wider
    const now = answer(), title = text(heading())
    if (title && title !== page) {
      if (travels) focus(heading())
      if (page) said.textContent = now?.words ?? title
      ;[page, travels, told] = [title, false, now?.key ?? told]
    } else if (now && now.key !== told) {
      if (told !== undefined) said.textContent = now.words
      told = now.key
    }
    said.dataset.of = told ?? ''
    if (last && !last.isConnected && document.activeElement === document.body) {
      const again = place ? document.querySelector(`.${CSS.escape(place)}`) : null
      focus(again?.querySelector('button, input, textarea, summary, [tabindex="0"]') ?? heading())
      last = null
    }
  }
  const soon = () => {
    frame ||= requestAnimationFrame(() => { frame = 0; mend() })
    clearTimeout(timer)
    timer = setTimeout(look, QUIET)
  }
  const entered = event => {
    last = event.target
    const keyed = last.closest?.('[class*="st-key-"]')
    place = [...(keyed?.classList ?? [])].find(name => name.startsWith('st-key-')) ?? ''
  }
  // a click without a pointer is one of the keyboard's: the reader is taken to the page it opened
  const clicked = event => {
    if (event.detail === 0 && event.target.closest(LINKS)) travels = true
  }
  const observer = new MutationObserver(soon)
  observer.observe(document.body, { childList: true, subtree: true, characterData: true,
    attributeFilter: ['data-stale', 'open', 'class'] })
  document.addEventListener('focusin', entered)
  document.addEventListener('click', clicked)
  addEventListener('resize', soon)
  soon()
  return () => {
    clearTimeout(timer)
    observer.disconnect()
    document.removeEventListener('focusin', entered)
    document.removeEventListener('click', clicked)
    removeEventListener('resize', soon)
  }
}

export default function () {
  window.heaveAccess?.()
  window.heaveAccess = helper()
  return () => {
    window.heaveAccess?.()
    window.heaveAccess = null
  }
}
