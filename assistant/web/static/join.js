// Joins this device: by the code that is typed, or by the one that came with the address as the square was scanned.

const at = (id) => document.getElementById(id);

async function join(code) {
  at("told").textContent = "One moment.";
  const answer = await fetch("/api/join", {
    method: "POST",
    body: JSON.stringify({ code }),
    headers: { "Content-Type": "application/json" },
  }).catch(() => null);
  if (answer?.ok) return location.replace("/");
  tell((await answer?.json().catch(() => null))?.error ?? "The assistant is not answering. Try again in a moment.");
}

function tell(sentence) {
  at("told").textContent = sentence;
  at("told").classList.add("trouble");
  at("code").focus();
  at("code").select();
}

at("join").addEventListener("submit", (event) => {
  event.preventDefault();
  join(at("code").value);
});

const scanned = decodeURIComponent(location.hash.slice(1));
history.replaceState(null, "", location.pathname); // so that the code stays in no history and no bookmark
if (scanned) join((at("code").value = scanned));
else at("code").focus();
