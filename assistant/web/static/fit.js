// Letters are as large as the room allows, so that a short answer can be read from across the bar.

const STEP = 0.94;

/** Sets the font size of `content` (px) to the largest at which `room`, which scrolls, need not scroll. */
export function fit(room, content) {
  const [least, most] = bounds(room);
  for (let size = most; ; size *= STEP) {
    content.style.fontSize = `${Math.max(size, least)}px`;
    if (size <= least || !overflows(room)) return;
  }
}

function bounds(room) {
  const style = getComputedStyle(room);
  return ["--least", "--most"].map((name) => parseFloat(style.getPropertyValue(name)));
}

function overflows(room) {
  const wide = [room, ...room.querySelectorAll(".scrolls")].some((part) => part.scrollWidth > part.clientWidth + 1);
  return wide || room.scrollHeight > room.clientHeight + 1;
}
