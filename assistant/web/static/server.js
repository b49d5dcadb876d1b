// The two questions that the page puts to its server, and whether the server is there.

export class Away extends Error {}
export class Refused extends Error {}

const conversation = kept("conversation", () =>
  Array.from(crypto.getRandomValues(new Uint8Array(12)), (byte) => byte.toString(16).padStart(2, "0")).join(""),
);

/** The reply to typed text. Throws Away, or Refused with the server's sentence. */
export function ask(text) {
  const body = JSON.stringify({ text, conversation });
  return post("/api/ask", { body, headers: { "Content-Type": "application/json" } });
}

/** The reply to one utterance (a WAV file's bytes). Throws Away, or Refused with the server's sentence. */
export function hear(body) {
  return post(`/api/hear?conversation=${conversation}`, { body, headers: { "Content-Type": "audio/wav" } });
}

/** Settles once the server answers again. */
export async function untilBack(everyMs = 2000) {
  for (;;) {
    await new Promise((done) => setTimeout(done, everyMs));
    const answer = await fetch("/api/health", { cache: "no-store" }).catch(() => null);
    if (answer?.ok) return;
  }
}

async function post(path, options) {
  const answer = await fetch(path, { method: "POST", cache: "no-store", ...options }).catch(() => null);
  const body = await answer?.json().catch(() => null);
  if (!body) throw new Away();
  if (!answer.ok) throw new Refused(body.error);
  return body;
}

function kept(key, make) {
  const value = sessionStorage.getItem(key) ?? make();
  sessionStorage.setItem(key, value);
  return value;
}
