// The clock of the film: plays, pauses, steps, scrubs; one animation frame asked for at a time, and none when it rests.

const SPEEDS = [0.25, 0.5, 1, 2, 4]
const STEP = 0.1 // of an arrow key or a step button [s]
const STILL = 1000 // between two stills where motion is not wanted [ms]

// `draw(time)` shows an instant; `changed()` is told of play, pause and speed; `rested(time)` of where it came to rest.
function makePlayer(film, { draw, changed, rested }) {
  const calm = matchMedia("(prefers-reduced-motion: reduce)")
  const player = { time: film.opens, playing: false, speed: 1, held: 0 }
  let frame = 0, timer = 0, waiting = 0, last = null

  const inside = time => Math.min(Math.max(time, film.start), film.end)
  function show(time) {
    player.time = inside(time)
    draw(player.time)
  }
  // A rest is told once things are quiet: a key held down is many steps and one rest.
  function tellRest() {
    clearTimeout(waiting)
    waiting = setTimeout(() => rested(player.time), 250)
  }
  function stopClock() {
    cancelAnimationFrame(frame)
    clearTimeout(timer)
    frame = timer = 0
    last = null
  }
  function tick(now) {
    // A tab that was away, or a frame that took long, goes on from where it was and does not jump.
    const passed = last === null ? 0 : Math.min((now - last) / 1000, 0.25)
    last = now
    show(player.time + passed * player.speed)
    if (player.time >= film.end) return player.pause()
    frame = requestAnimationFrame(tick)
  }
  function still() {
    show(player.time + player.speed)
    if (player.time >= film.end) return player.pause()
    timer = setTimeout(still, STILL)
  }
  function startClock() {
    stopClock()
    if (!player.playing || document.hidden) return
    if (calm.matches) timer = setTimeout(still, STILL)
    else frame = requestAnimationFrame(tick)
  }

  player.play = () => {
    if (player.playing) return
    clearTimeout(waiting)
    if (player.time >= film.end) show(film.start)
    player.playing = true
    changed()
    startClock()
  }
  player.pause = () => {
    stopClock()
    if (!player.playing) return
    player.playing = false
    changed()
    draw(player.time)
    tellRest()
  }
  player.toggle = () => (player.playing ? player.pause() : player.play())
  player.seek = time => show(time)
  player.scrubbed = () => player.playing || tellRest()
  player.step = seconds => {
    player.pause()
    show(player.time + seconds)
    tellRest()
  }
  player.setSpeed = speed => {
    player.speed = speed
    changed()
  }
  player.faster = places => {
    const place = SPEEDS.indexOf(player.speed) + places
    player.setSpeed(SPEEDS[Math.min(Math.max(place, 0), SPEEDS.length - 1)])
  }
  player.running = () => frame !== 0 || timer !== 0
  player.stop = () => {
    stopClock()
    clearTimeout(waiting)
    player.playing = false
    calm.removeEventListener("change", startClock)
    document.removeEventListener("visibilitychange", startClock)
  }
  calm.addEventListener("change", startClock)
  document.addEventListener("visibilitychange", startClock)
  return player
}

// What each key does; the same words stand in the help beside the buttons.
function keyDone(player, film, event) {
  const typed = event.target instanceof Element ? event.target : null
  const own = event.composedPath()[0]
  const onButton = own instanceof HTMLButtonElement || own instanceof HTMLSelectElement || own?.tagName === "SUMMARY"
  if (event.ctrlKey || event.metaKey || event.altKey || typed === null) return false
  const seconds = event.shiftKey ? 10 * STEP : STEP
  const slider = own instanceof HTMLInputElement
  switch (event.key) {
    case " ": case "k":
      if (onButton && event.key === " ") return false // the button's own key
      player.toggle()
      return true
    case "ArrowLeft": case "ArrowRight":
      if (own instanceof HTMLSelectElement) return false
      player.step(event.key === "ArrowLeft" ? -seconds : seconds)
      return true
    case "Home": case "End":
      player.pause()
      player.seek(event.key === "Home" ? film.start : film.end)
      player.scrubbed()
      return true
    case "+": case "-":
      player.faster(event.key === "+" ? 1 : -1)
      return true
    case "PageUp": case "PageDown":
      if (!slider) return false
      player.step(event.key === "PageUp" ? -10 : 10)
      return true
  }
  return false
}
