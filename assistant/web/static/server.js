// The two questions that the page puts to its server, and whether the server is there.

const ANSWER_MS = 20_000; // the longest that the server takes over a sound, and the way there on a poor network
const SIGN_MS = 3_000;

export class Away extends Error {}
export class Refused extends Error {}

let conversation = kept("conversation", newName);

/** Who is speaking on this device, from visit to visit; empty: nobody has said. */
export const who = {
  get name() {
    return localStorage.getItem("who") ?? "";
  },
  set name(name) {
    localStorage.setItem("who", name);
  },
};

/** Begins another conversation, which knows nothing of this one. */
export function startAfresh() {
  sessionStorage.clear();
  conversation = kept("conversation", newName);
}

/** The reply to typed text. Throws Away, or Refused with the server's sentence. */
export function ask(text) {
  const body = JSON.stringify({ text, conversation, who: who.name });
  return post("/api/ask", { body, headers: { "Content-Type": "application/json" } });
}

/** The reply to one utterance (a WAV file's bytes). Throws Away, or Refused with the server's sentence. */
export function hear(body) {
  const query = new URLSearchParams({ conversation, who: who.name });
  return post(`/api/hear?${query}`, { body, headers: { "Content-Type": "audio/wav" } });
}

/** How it stands after a piece of a hands-free stream (16-bit samples). Throws Away, or Refused. */
export function hears(body, { stream, aloud }) {
  const query = new URLSearchParams({ conversation, who: who.name, stream, aloud });
  return post(`/api/stream?${query}`, { body, headers: { "Content-Type": "application/octet-stream" } });
}

/** How it stands with the manager's PIN (""), or what came of "set", "unlock" or "lock"; null when nothing answers. */
export async function pin(what, digits) {
  const sent = { method: "POST", body: JSON.stringify({ pin: digits }), headers: { "Content-Type": "application/json" } };
  const answer = await fetch(what ? `/api/pin/${what}` : "/api/pin", { cache: "no-store", ...(what && sent) }).catch(() => null);
  return answer?.json().catch(() => null) ?? null;
}

/** Settles once the server answers again. */
export async function untilBack(everyMs = 2000) {
  do await new Promise((done) => setTimeout(done, everyMs));
  while (!(await isThere()));
}

/** Whether the server answers. A network that swallows what is sent says nothing, so a silence counts as a no. */
export async function isThere() {
  const answer = await fetch("/api/health", { cache: "no-store", signal: AbortSignal.timeout(SIGN_MS) }).catch(() => null);
  joinIfAsked(answer);
  return Boolean(answer?.ok);
}

async function post(path, options) {
  const within = AbortSignal.timeout(ANSWER_MS);
  const answer = await fetch(path, { method: "POST", cache: "no-store", signal: within, ...options }).catch(() => null);
  joinIfAsked(answer);
  const body = await answer?.json().catch(() => null);
  if (!body) throw new Away();
  if (!answer.ok && body.pin !== "needed") throw new Refused(body.error); // what needs the PIN is a reply as well
  return body;
}

/** A device that the server does not know (any more) goes where the code is given. */
function joinIfAsked(answer) {
  if (answer?.headers.get("WWW-Authenticate") === "JoiningCode") location.assign("/join");
}

function newName() {
  return Array.from(crypto.getRandomValues(new Uint8Array(12)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

function kept(key, make) {
  const value = sessionStorage.getItem(key) ?? make();
  sessionStorage.setItem(key, value);
  return value;
}
