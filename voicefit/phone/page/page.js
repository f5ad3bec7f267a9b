// The page: joins the session, shows its views; on the phone it also speaks and hears.
const SILENT_MS = 1500, ASKED_MS = 1000, AGAIN_MS = 400, WAITING_BYTES = 64000, MM_KEY = "mm", HOLD_KEY = "hold";
const $ = (id) => document.getElementById(id);
const buzz = (...pattern) => navigator.vibrate?.(pattern);
let role = null, headset = false, socket = null, aliveAt = 0, lost = false, shown = 0, over = false, asking = false;
let player = null, awake = null, talking = false, coming = null;
const sounding = new Set();

// ---- joining, and joining again ----------------------------------------------------------------------------

async function pair() {
  const secret = location.hash.slice(1);
  if (secret) {
    history.replaceState(null, "", location.pathname); // it is good for once, and nobody need see it
    const answer = await fetch("pair", { method: "POST", body: JSON.stringify({ secret }) });
    if (answer.status === 403) return state("refused", "This code was used, is too old or wrong. Scan a new one.");
  }
  ({ role, headset } = await (await fetch("role")).json());
  if (!role) return state("refused", "Not paired. Scan the code on the machine's screen.");
  $("hands").hidden = role !== "microphone";
  if (role === "microphone") {
    $("reply").setAttribute("aria-live", "off"); // it is heard: a screen reader need not say it again
    state("joining", "Touch to begin");
  } else {
    stayAwake();
    join();
  }
}

function join() {
  if (over) return;
  const mine = socket = new WebSocket(location.origin.replace("http", "ws") + "/live");
  mine.binaryType = "arraybuffer";
  aliveAt = performance.now();
  mine.onopen = () => {
    aliveAt = performance.now();
    lost = false;
    state("joined", role === "microphone" ? "Listening" : "Showing");
  };
  mine.onmessage = (message) => {
    aliveAt = performance.now();
    if (typeof message.data === "string") take(JSON.parse(message.data));
    else if (coming) play(coming, message.data);
  };
  mine.onclose = (event) => {
    if (mine !== socket) return;
    if (event.code === 4001) return end("This phone goes on in another page.");
    if (event.code === 1001) return end("The session has ended.");
    drop();
  };
}

function drop() {
  const old = socket;
  socket = null;
  old?.close();
  if (over || asking) return;
  joinAgain();
  if (lost) return; // it was told already
  lost = true;
  hush();
  state("lost", "Connection lost. Joining again …");
  buzz(300, 100, 300, 100, 300);
  beep(880, 440);
}

async function joinAgain() { // a socket only once the machine answers: after many that failed, browsers hold one back for seconds
  asking = true;
  for (let answer = null; !answer;) {
    await new Promise((resolve) => { setTimeout(resolve, AGAIN_MS); });
    try {
      const came = await fetch("role", { signal: AbortSignal.timeout(ASKED_MS) });
      answer = came.ok ? await came.json() : null;
    } catch { /* not within reach yet */ }
    if (answer && !answer.role) end("Not paired any more. Scan the code on the machine's screen.");
  }
  asking = false;
  join();
}

function end(words) {
  over = true;
  state("refused", words);
  buzz(300);
}

setInterval(() => { // a socket whose radio is gone says nothing
  if (socket && !over && performance.now() - aliveAt >= SILENT_MS) drop();
}, 250);
window.addEventListener("offline", () => { if (socket) drop(); });

function state(name, words) {
  $("link").dataset.state = name;
  $("link").textContent = words;
}

// ---- what is shown -----------------------------------------------------------------------------------------

function take(message) {
  if (message.type === "view") show(message);
  else if (message.type === "sound") coming = message;
  else if (message.type === "hush") hush();
}

function show(view) {
  if (view.number === shown) return; // sent again because the page joined again
  const first = shown === 0;
  shown = view.number;
  for (const id of ["place", "heard", "leader", "reply"]) text(id, view[id]);
  text("how-sure", view.how_sure);
  text("share", view.share && `about ${view.share} in 100`);
  text("left-out", view.left_out.length ? `Not taken: ${view.left_out.join("; ")}` : "");
  list("next", view.next_checks);
  list("others", view.others);
  list("readings", view.readings);
  list("cautions", view.cautions);
  list("order", view.order);
  $("now").hidden = !view.next_checks.length;
  $("cautions-part").hidden = !view.cautions.length;
  $("order-part").hidden = !view.order.length;
  draw(view.drawing);
  if (first) return;
  if (view.event === "heard") buzz(60);
  if (view.event === "refused") buzz(150, 100, 150);
}

function text(id, words) {
  if ($(id).textContent !== words) $(id).textContent = words;
}

function list(id, lines) {
  $(id).replaceChildren(...lines.map((line) => Object.assign(document.createElement("li"), { textContent: line })));
}

function draw(svg) {
  $("drawing-part").hidden = !svg;
  if (!svg) return $("drawing").replaceChildren();
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  $("drawing").replaceChildren(document.importNode(parsed, true));
  measure();
}

function measure() {
  const drawing = $("drawing").querySelector("svg");
  if (drawing) drawing.setAttribute("width", drawing.viewBox.baseVal.width * millimetre());
}

const millimetre = () => Number(stored(MM_KEY)) || 96 / 25.4;
function stored(key) { try { return localStorage.getItem(key); } catch { return null; } }
function store(key, value) { try { localStorage.setItem(key, value); } catch { /* this page then forgets it */ } }
for (const [id, by] of [["shorter", 1 / 1.02], ["longer", 1.02]]) {
  $(id).onclick = () => { store(MM_KEY, millimetre() * by); measure(); };
}

// ---- speaking and hearing ----------------------------------------------------------------------------------

$("begin").onclick = async () => {
  $("begin").disabled = true;
  try {
    player = new AudioContext();
    await player.resume();
    await listen();
  } catch (error) {
    $("begin").disabled = false;
    return state("refused", `The microphone is not allowed here (${error.name}). Allow it for this page.`);
  }
  stayAwake();
  for (const id of ["talk", "held-only"]) $(id).hidden = false;
  $("begin").hidden = true;
  join();
};

async function listen() {
  const media = await navigator.mediaDevices.getUserMedia({
    audio: { channelCount: 1, echoCancellation: !headset, noiseSuppression: false, autoGainControl: false },
  });
  let context = new AudioContext({ sampleRate: 16000 }), source;
  try {
    source = context.createMediaStreamSource(media);
  } catch { // some browsers take a microphone only at its own rate; the worklet then makes it 16 kHz
    context = new AudioContext();
    source = context.createMediaStreamSource(media);
  }
  await context.resume();
  await context.audioWorklet.addModule("capture.js");
  const capture = new AudioWorkletNode(context, "capture", { numberOfOutputs: 0 });
  capture.port.onmessage = ({ data }) => {
    if (!socket || socket.readyState !== WebSocket.OPEN || socket.bufferedAmount > WAITING_BYTES) return;
    socket.send($("hold-mode").checked && !talking ? new ArrayBuffer(data.byteLength) : data);
  };
  source.connect(capture);
}

function play(head, bytes) {
  coming = null;
  const done = () => {
    if (socket?.readyState === WebSocket.OPEN) socket.send(JSON.stringify({ type: "played", number: head.number }));
  };
  if (!player || player.state !== "running" || !head.samples) return done();
  const samples = Float32Array.from(new Int16Array(bytes), (sample) => sample / 32768);
  const buffer = player.createBuffer(1, samples.length, head.rate_hz);
  buffer.copyToChannel(samples, 0);
  const node = new AudioBufferSourceNode(player, { buffer });
  node.connect(player.destination);
  node.onended = () => { sounding.delete(node); done(); };
  sounding.add(node);
  node.start();
  document.dispatchEvent(new CustomEvent("sounding", { detail: samples }));
}

function hush() {
  coming = null;
  for (const node of sounding) node.stop();
}

function beep(...pitches) {
  if (!player) return;
  pitches.forEach((frequency, turn) => {
    const note = new OscillatorNode(player, { frequency }), from = player.currentTime + turn * 0.2;
    note.connect(new GainNode(player, { gain: 0.3 })).connect(player.destination);
    note.start(from);
    note.stop(from + 0.18);
  });
}

function press(on) {
  if (talking === on) return;
  talking = on;
  $("talk").setAttribute("aria-pressed", String(on));
  if (socket?.readyState === WebSocket.OPEN) socket.send(JSON.stringify({ type: "talk", on }));
  if (on) buzz(30);
}

$("talk").onpointerdown = (event) => { event.target.setPointerCapture(event.pointerId); press(true); };
for (const name of ["pointerup", "pointercancel", "lostpointercapture", "blur"]) $("talk").addEventListener(name, () => press(false));
$("talk").onkeydown = (event) => { if (event.key === " " || event.key === "Enter") press(true); };
$("talk").onkeyup = () => press(false);
$("talk").oncontextmenu = () => false;
$("hold-mode").checked = stored(HOLD_KEY) === "yes";
$("hold-mode").onchange = () => store(HOLD_KEY, $("hold-mode").checked ? "yes" : "no");

async function stayAwake() {
  try { awake = await navigator.wakeLock?.request("screen"); } catch { awake = null; }
}
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "visible" && role && (!awake || awake.released)) stayAwake();
});

pair().catch(() => state("refused", "The machine does not answer. Load the page again."));
