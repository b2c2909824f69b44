// What the browser keeps of the work, and what it tells the server it has.
//
// `seen` is the page's: it holds, for each session, the text it began with or sent last. A text is kept only once
// it differs from that, so that a session that was only looked at takes nothing from the one before it. A plan that
// came by a link is kept at once where nothing is, for the address does not keep it. What was kept before units and
// time went with it is the text alone. The line says what holds; where work is not kept the browser asks before it
// leaves the page. Of two tabs the one that changed last is kept: the other says so until it keeps its own again.

const KEY = 'heave:work'
const clock = at => at && !isNaN(new Date(at)) ? new Date(at).toTimeString().slice(0, 5) : 'an earlier time'
function held() {
  const kept = localStorage.getItem(KEY)
  if (kept === null || kept[0] !== '{') return kept === null ? null : { text: kept }
  try { return JSON.parse(kept) } catch { return { text: kept } }
}
function hold({ text, units }) {
  const at = Date.now()
  localStorage.setItem(KEY, JSON.stringify({ text, units, at }))
  return `Kept in this browser at ${clock(at)}.`
}
const other = at => `Another tab changed its plan at ${clock(at)}, and that one is kept. Change this one to keep it instead.`
// The three first steps are shown by the style sheet, once the page knows whether they are done in this browser; who
// has work here has done them.
function steps(wanted, worked) {
  if (wanted) localStorage.setItem('heave:start', wanted)
  const said = localStorage.getItem('heave:start') ?? (worked ? 'done' : 'show')
  localStorage.setItem('heave:start', said)
  return said
}
export default function ({ data, parentElement, setTriggerValue }) {
  const seen = (window.heaveWork ??= {})
  const line = parentElement.querySelector('p')
  const now = data.units + data.text
  const page = document.documentElement.dataset
  try {
    const kept = held()
    page.heaveStart = steps(data.start, kept)
    let said = kept ? `Kept in this browser at ${clock(kept.at)}.` : 'Nothing is changed yet.'
    if (!(data.session in seen)) {
      const cut = Object.keys(seen).length > 0
      seen[data.session] = now
      if (!kept && data.keep) said = hold(data)
      if (kept && (kept.text !== data.text || (kept.units ?? data.units) !== data.units)) {
        setTriggerValue('found', { text: kept.text, units: kept.units, at: clock(kept.at), cut })
      }
    } else if (now !== seen[data.session]) {
      if (!kept || kept.text !== data.text || kept.units !== data.units) said = hold(data)
      seen[data.session] = now
    }
    const same = () => held()?.text === data.text && (held().units ?? data.units) === data.units
    const say = () => {
      window.heaveElsewhere &&= !same()
      line.textContent = window.heaveElsewhere ? other(held()?.at) : said
      line.style.fontWeight = window.heaveElsewhere ? 600 : ''
    }
    say()
    window.onstorage = event => {
      if (event.key !== KEY || !event.newValue) return
      window.heaveElsewhere = true
      say()
    }
    window.onbeforeunload = null
  } catch (error) {
    page.heaveStart = data.start ?? 'show'
    line.textContent = 'Not kept: this browser refuses.'
    if (now !== (seen[data.session] ??= now)) window.onbeforeunload = event => event.preventDefault()
    if (!data.refused) setTriggerValue('refused', true)
  }
}
