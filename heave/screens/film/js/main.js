// Puts the film on the page: its regions, one clock, what a hand does, and a clean-up that leaves nothing running.

const SPANS = [10, 20, 60, 120, 300] // widths of the traces offered [s]
const MOUNTED = new WeakMap()

// The stretch of the run the traces show: a page that turns as the time leaves it, so that it is drawn once a page. Pages
// begin half a page earlier where the film would open near the end of one, with what it opens for on the next.
function pageOf(film, time, wide) {
  const length = Math.min(wide, film.end - film.start)
  const late = (film.opens - film.start) % length > 0.75 * length
  const first = film.start - (late ? length / 2 : 0), page = Math.floor((time - first) / length)
  const from = Math.max(Math.min(first + page * length, film.end - length), film.start)
  return { time, from, to: from + length }
}

// A canvas as wide as its region and as high as what is drawn on it asks for, sharp on any screen.
function makeRegion(element, part) {
  const canvas = element.querySelector("canvas")
  const region = { element, part, context: canvas.getContext("2d"), width: 0, height: 0 }
  region.fit = () => {
    const width = element.clientWidth
    if (width === 0) return false
    const height = part.height(width), sharp = window.devicePixelRatio || 1
    region.width = width
    region.height = height
    canvas.width = Math.round(width * sharp)
    canvas.height = Math.round(height * sharp)
    canvas.style.height = `${height}px`
    region.context.setTransform(sharp, 0, 0, sharp, 0, 0)
    return true
  }
  return region
}

class Film {
  constructor(root, data, tell, before) {
    this.root = root
    this.data = data
    this.tell = tell
    this.film = decodeFilm(data)
    this.wide = before?.wide ?? 60
    this.watched = new AbortController()
    this.find = name => root.querySelector(`.film-${name}`)
    this.parts = { slider: this.find("slider"), time: this.find("time") }
    this.machine = makeMachine(this.film)
    this.machine.laid = before?.machine.laid ?? false
    this.gauges = makeGauges(this.film)
    this.traces = makeTraces(this.film)
    this.regions = {
      picture: makeRegion(this.find("picture"), this.machine),
      gauges: makeRegion(this.find("gauges"), this.gauges),
      traces: makeRegion(this.find("traces"), this.traces),
    }
    this.drawn = root.filmDrawn = { time: 0, picture: this.machine.drawn, traces: this.traces.drawn, gauges: this.gauges.drawn }
    this.player = root.filmPlayer = makePlayer(this.film, {
      draw: time => this.draw(time),
      changed: () => this.showState(),
      rested: time => this.rest(time, true),
    })
    this.begin(before)
  }

  begin(before) {
    const { film, player } = this
    this.colours()
    this.listen()
    this.sizes = new ResizeObserver(() => this.fit())
    for (const region of Object.values(this.regions)) this.sizes.observe(region.element)
    if (before) player.speed = before.player.speed
    const stays = before && before.film.opens === film.opens
    player.time = Math.min(Math.max(stays ? before.player.time : film.opens, film.start), film.end)
    this.fit()
    this.showState()
    this.rest(player.time, false)
    if (stays && before.wasPlaying) player.play()
  }

  colours() {
    const { film, root } = this
    for (const name of ["text", "muted", "line", "track", "ground"]) root.style.setProperty(`--film-${name}`, film.look[name])
    root.setAttribute("aria-label", film.alt)
    this.find("picture").setAttribute("aria-label", film.alt)
    const slider = this.find("slider")
    slider.min = film.start
    slider.max = film.end
    const named = (value, text) => Object.assign(document.createElement("option"), { value, textContent: text })
    this.find("speed").replaceChildren(...SPEEDS.map(speed => named(speed, `× ${speed}`)))
    const spans = SPANS.filter(span => span < film.end - film.start)
    this.find("span").replaceChildren(...spans.map(span => named(span, `${span} s`)), named(1e9, "all"))
    this.find("span").value = String(spans.includes(this.wide) ? this.wide : 1e9)
    this.wide = Number(this.find("span").value)
    this.find("laid").hidden = film.sides.length < 2
  }

  listen() {
    const { player, film } = this, { signal } = this.watched
    const on = (name, kind, done) => this.find(name).addEventListener(kind, done, { signal })
    on("play", "click", () => player.toggle())
    on("back", "click", () => player.step(-STEP))
    on("on", "click", () => player.step(STEP))
    on("slider", "input", event => player.seek(Number(event.target.value)))
    on("slider", "change", () => player.scrubbed())
    on("speed", "change", event => player.setSpeed(Number(event.target.value)))
    on("laid", "click", () => {
      this.machine.laid = !this.machine.laid
      this.showState()
    })
    on("span", "change", event => {
      this.wide = Number(event.target.value)
      this.draw(player.time)
    })
    on("table", "toggle", () => this.showTable())
    on("picture", "click", () => player.toggle())
    this.root.addEventListener("keydown", event => keyDone(player, film, event) && event.preventDefault(), { signal })
    this.listenToTraces(on)
    window.addEventListener("heave-paper", event => this.renew(event.detail), { signal })
  }

  // The same film at the same instant as wide as the paper and in its colours, or as wide as the screen again.
  renew(recolour) {
    this.stop()
    const film = new Film(this.root, recolour(this.data), this.tell, this)
    film.data = this.data
    MOUNTED.set(this.root, film)
  }

  // Along the traces a hand draws the time with it; up and down it still scrolls the page.
  listenToTraces(on) {
    const element = this.find("traces")
    let held = false, heldAt = 0 // how far down the hand came: over the overview it moves through the whole run
    const to = event => this.player.seek(this.traces.timeAt(event.clientX - element.getBoundingClientRect().left, heldAt))
    on("traces", "pointerdown", event => {
      held = true
      heldAt = event.clientY - element.getBoundingClientRect().top
      element.setPointerCapture(event.pointerId)
      to(event)
    })
    on("traces", "pointermove", event => held && to(event))
    for (const kind of ["pointerup", "pointercancel"])
      on("traces", kind, () => {
        if (held) this.player.scrubbed()
        held = false
      })
  }

  fit() {
    let changed = false
    for (const region of Object.values(this.regions))
      if (region.element.clientWidth !== region.width) changed = region.fit() || changed
    if (changed) this.draw(this.player.time)
  }

  draw(time) {
    const { picture, gauges, traces } = this.regions
    if (picture.width === 0) return
    this.drawn.time = time
    this.machine.draw(picture.context, picture.width, picture.height, time)
    this.gauges.draw(gauges.context, gauges.width, gauges.height, time)
    this.traces.draw(traces.context, traces.width, traces.height, pageOf(this.film, time, this.wide))
    this.showTime(time)
    this.showCaption(time)
  }

  // Ten times a second is as often as it can be read, and each time costs the page more than a frame of the picture.
  showTime(time) {
    const tenth = time.toFixed(1)
    if (tenth === this.tenth) return
    this.tenth = tenth
    this.parts.slider.value = time
    this.parts.time.textContent = `${tenth} s`
  }

  showCaption(time) {
    const now = this.film.captions.find(caption => caption.from <= time && time < caption.to)
    if (now === this.caption) return
    this.caption = now
    this.find("caption").hidden = !now
    this.find("caption").textContent = now ? now.text : ""
  }

  showState() {
    const { player } = this
    this.root.classList.toggle("film-playing", player.playing)
    this.find("play").textContent = player.playing ? "Pause" : "Play"
    this.find("speed").value = String(player.speed)
    this.find("laid").setAttribute("aria-pressed", String(this.machine.laid))
    // a text that changes sixty times a second is not read out
    this.find("words").setAttribute("aria-live", player.playing ? "off" : "polite")
    this.draw(player.time)
  }

  rest(time, told) {
    this.find("words").textContent = instantText(this.film, time)
    this.find("slider").setAttribute("aria-valuetext", `${time.toFixed(1)} s`)
    this.showTable()
    if (told) this.tell(time)
  }

  showTable() {
    const table = this.find("table")
    if (table.open) table.querySelector("div").replaceChildren(traceTable(this.film, pageOf(this.film, this.player.time, this.wide)))
  }

  stop() {
    if (this.watched.signal.aborted) return
    this.wasPlaying = this.player.playing
    this.player.stop()
    this.watched.abort()
    this.sizes.disconnect()
  }
}

// Called anew at every run of the script: the same film goes on as it is, another takes over time and speed.
export default function ({ data, parentElement, setStateValue }) {
  const root = parentElement.querySelector(".film")
  const tell = time => setStateValue("at", time)
  const before = MOUNTED.get(root)
  if (before?.film.key === data.key && !before.watched.signal.aborted) before.tell = tell
  else {
    before?.stop()
    MOUNTED.set(root, new Film(root, data, tell, before))
  }
  return () => MOUNTED.get(root).stop()
}
