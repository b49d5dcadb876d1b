// Keeps the screen lit while the page is in view; browsers drop the lock when it is hidden, so it is asked for again.

async function keepLit() {
  if (document.visibilityState !== "visible") return;
  try {
    await navigator.wakeLock?.request("screen");
  } catch {
    // Low battery or a house rule of the browser: the screen then dims as it always does.
  }
}

export function stayAwake() {
  document.addEventListener("visibilitychange", keepLit);
  document.addEventListener("pointerdown", keepLit, { once: true });
  keepLit();
}
