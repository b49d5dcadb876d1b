// What the manager's pages send to their server.

const AWAY = "The server is not answering. Nothing was changed; what you typed is still here. Try again in a moment.";

/** A refusal, with the server's sentence and the status of HTTP that it came with. */
export class Refused extends Error {
  constructor(sentence, status) {
    super(sentence);
    this.status = status;
  }
}

/** The name that this device was given on the page behind the bar; empty while nobody said. */
export const who = () => localStorage.getItem("who") ?? "";

/** The JSON answer to a JSON body, or to a file's bytes. Throws Refused, or Error, each with a sentence. */
export async function send(path, body, { file = null, signal } = {}) {
  const sent = file
    ? { body: file, headers: { "Content-Type": "application/octet-stream" } }
    : { body: JSON.stringify(body), headers: { "Content-Type": "application/json" } };
  const answer = await fetch(path, { method: "POST", cache: "no-store", signal, ...sent }).catch((error) => {
    if (error.name === "AbortError") throw error;
    return null;
  });
  const reply = await answer?.json().catch(() => null);
  if (!reply) throw new Error(AWAY);
  if (!answer.ok) throw new Refused(reply.error, answer.status);
  return reply;
}
