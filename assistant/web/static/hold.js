// One control, held while speaking: by mouse, by finger, or with the space bar. Where holding is not possible (a screen
// reader, the Enter key), pressing it once starts and pressing again ends.

const OWN_KEYS = "input, textarea, select, button, a, summary"; // what the space bar does something else on

export function holdToTalk(button, { start, stop }) {
  let held = false;
  const press = () => {
    if (held) return;
    held = true;
    start();
  };
  const release = () => {
    if (!held) return;
    held = false;
    stop();
  };
  byPointer(button, press, release);
  bySpaceBar(button, press, release);
  button.addEventListener("click", (event) => {
    if (event.detail === 0) (held ? release : press)();
  });
  window.addEventListener("blur", release);
}

function byPointer(button, press, release) {
  button.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    button.setPointerCapture(event.pointerId);
    press();
  });
  for (const end of ["pointerup", "pointercancel"]) button.addEventListener(end, release);
  button.addEventListener("contextmenu", (event) => event.preventDefault()); // a long touch
}

function bySpaceBar(button, press, release) {
  const ours = ({ code, target }) => code === "Space" && (target === button || !target.closest?.(OWN_KEYS));
  document.addEventListener("keydown", (event) => {
    if (!ours(event)) return;
    event.preventDefault();
    if (!event.repeat) press();
  });
  document.addEventListener("keyup", (event) => {
    if (event.code !== "Space") return;
    if (ours(event)) event.preventDefault();
    release();
  });
}
