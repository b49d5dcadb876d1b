// The page: one question at a time goes to the server, the reply comes back as a card and as speech.

import { drawCard } from "./card.js";
import { make } from "./elements.js";
import { fit } from "./fit.js";
import { HandsFree } from "./free.js";
import { holdToTalk } from "./hold.js";
import { Microphone, NoMicrophone } from "./microphone.js";
import { People, pinButton } from "./people.js";
import { ask, Away, hear, isThere, Refused, untilBack } from "./server.js";
import { Voice } from "./voice.js";
import { stayAwake } from "./wake.js";

const WORDS = {
  ready: ["Ready", "Hold to talk"],
  opening: ["One moment", "One moment"],
  listening: ["Listening", "Let go to ask"],
  thinking: ["Thinking", "Thinking"],
  speaking: ["Speaking", "Hold to talk"],
  away: ["Away", "Away"],
};
const AWAY = "No connection: the assistant is not answering. It is tried again every two seconds.";
const AWAY_WITH_CARD = `${AWAY} What you see is its last card.`;
const LAST = "last reply";
const LOOK_MS = 15_000;
const KEEP_MS = 5_000; // first things first: the browser fetches all files again to keep them

const at = (id) => document.getElementById(id);
const [page, talk, room, say, heard] = [document.body, at("talk"), at("room"), at("say"), at("heard")];
const voice = new Voice();
const microphone = new Microphone((level) => talk.style.setProperty("--level", level.toFixed(2)));
const people = new People(putAway);
const handsFree = new HandsFree({
  isAloud: () => voice.isAloud,
  onwake: hush,
  onpartial: (text) => (heard.textContent = `“${text} …”`),
  onreply: (reply) => put(Promise.resolve(reply)),
  onerror: fail,
});
let turn = 0; // only the newest question may change the page

function become(state) {
  page.dataset.state = state;
  [at("state-word").textContent, at("talk-word").textContent] = WORDS[state];
}

/** Puts a question (a promise of a reply) and shows what comes of it. */
async function put(question) {
  const mine = ++turn;
  voice.stop();
  become("thinking");
  try {
    const reply = await question;
    if (mine === turn) await answer(reply, mine);
  } catch (error) {
    if (mine === turn) await fail(error);
  }
}

async function answer(reply, mine) {
  if (!people.isManager) sessionStorage.setItem(LAST, JSON.stringify(reply)); // what the manager sees is kept nowhere
  people.heard(reply);
  if (reply.voice) setMuted(reply.voice === "off");
  show(reply);
  become("ready");
  await voice.speak(reply.say, reply.slow, () => mine === turn && become("speaking"));
  if (mine === turn && page.dataset.state === "speaking") become("ready");
}

async function fail(error) {
  if (error instanceof Away) return wait();
  if (!(error instanceof Refused || error instanceof NoMicrophone)) throw error;
  tell(error.message, "", true);
  become("ready");
}

/** Looks whether the server is still there while nobody asks: a screen with an old card must not look alive. */
async function look() {
  const mine = turn;
  const restful = () => mine === turn && page.dataset.state === "ready" && document.visibilityState === "visible";
  if (restful() && !(await isThere()) && restful()) wait();
}

async function wait() {
  const mine = turn;
  tell(page.dataset.view === "reply" ? AWAY_WITH_CARD : AWAY, "", true);
  become("away");
  await untilBack();
  if (mine !== turn) return; // it was asked meanwhile
  tell("The assistant is back. Ask again, please.", "");
  become("ready");
}

function show(reply) {
  tell(reply.say, reply.heard?.text ?? "");
  page.dataset.view = "reply";
  room.replaceChildren(drawCard(reply.card ?? sentence(reply.say)));
  list("cautions", reply.cautions.map((text) => make("li", {}, text)));
  const choices = (reply.asks?.choices ?? []).map(({ label }) => button(label, label, "choice"));
  list("choices", reply.pin === "needed" ? [pinButton(people)] : choices);
  list("undo", reply.undo ? [button("Undo that", "undo", "undo")] : []);
  room.scrollTop = 0;
  refit();
}

/** Takes what the manager saw off the screen. */
function putAway() {
  sessionStorage.removeItem(LAST);
  room.replaceChildren();
  page.dataset.view = "examples";
  tell("", "");
}

/** A reply that is words alone is as large as any card. */
function sentence(title) {
  return { kind: "sentence", title, facts: [], blocks: [] };
}

function tell(sentence, words, isTrouble = false) {
  say.textContent = sentence;
  say.classList.toggle("trouble", isTrouble);
  heard.textContent = words && `“${words}”`;
  refit();
}

function list(id, children) {
  at(id).replaceChildren(...children);
  at(id).hidden = children.length === 0;
}

function button(label, text, is) {
  return make("button", { is, type: "button", "data-ask": text }, label);
}

function refit() {
  fit(at("told"), say);
  const card = room.querySelector(".card");
  if (card) fit(room, card);
}

async function startTalking() {
  turn++;
  voice.stop();
  become("opening");
  try {
    await microphone.start();
    if (page.dataset.state === "opening") become("listening");
    else await microphone.stop(); // let go before it was open
  } catch (error) {
    await fail(error);
  }
}

function stopTalking() {
  if (page.dataset.state === "listening") put(microphone.stop().then(hear));
  if (page.dataset.state !== "opening") return;
  become("ready");
  tell("Hold the button for as long as you speak.", "");
}

/** Ends what is being said and asked. */
function hush() {
  turn++;
  voice.stop();
  become("ready");
}

function setMuted(muted) {
  voice.muted = muted;
  showMute();
}

function mute() {
  setMuted(!voice.muted);
}

/** Escape stops and M mutes, also while it speaks; where M is no letter being typed. */
function byKey({ key, target }) {
  if (key === "Escape") {
    hush();
    handsFree.rest();
  }
  if (key.toLowerCase() === "m" && !target.closest?.("input, textarea, dialog")) mute();
}

function showMute() {
  at("mute").setAttribute("aria-pressed", String(!voice.muted));
  at("mute-word").textContent = voice.muted ? "Voice off" : "Voice on";
}

holdToTalk(talk, { start: startTalking, stop: stopTalking });
at("type").addEventListener("submit", (event) => {
  event.preventDefault();
  const text = at("words").value.trim();
  at("words").value = "";
  if (text) put(ask(text));
});
document.addEventListener("click", ({ target }) => {
  const text = target.closest("[data-ask]")?.dataset.ask;
  if (text) put(ask(text));
});
at("mute").addEventListener("click", mute);
document.addEventListener("keydown", byKey);
at("home").addEventListener("click", () => {
  page.dataset.view = "examples";
  tell("", "");
});
at("print").addEventListener("click", () => window.print());
new ResizeObserver(refit).observe(room);

for (const hint of ["offline", "visibilitychange"]) globalThis.addEventListener(hint, look);
setInterval(look, LOOK_MS);

showMute();
become("ready");
at("words").disabled = false; // until here nobody would answer
stayAwake();
const last = sessionStorage.getItem(LAST);
if (last) show(JSON.parse(last));
const worker = navigator.serviceWorker; // none over plain http from elsewhere
if (worker?.controller) look(); // the page may be the one that the browser keeps
setTimeout(() => worker?.register("/away.js").catch(() => {}), KEEP_MS); // not where nobody vouches for the certificate
