// Measuring by dragging: three handles on the picture that fill in the points of the form. Without
// it the points come by clicks, or are typed.
"use strict";
(() => {
  const place = document.querySelector("[data-measure]");
  const form = document.querySelector("form.points");
  if (!place || !form) return;
  const whole = { x: Number(place.dataset.width), y: Number(place.dataset.height) };
  const NAMES = { a: "One end of the length", b: "Its other end", c: "A point on the find" };
  const START = { a: [0.25, 0.85], b: [0.75, 0.85], c: [0.5, 0.45] };
  document.querySelector("form.clicks")?.remove();
  const frame = document.createElement("div");
  frame.className = "drag";
  const picture = document.createElement("img");
  picture.src = place.dataset.picture;
  picture.alt = "The photograph; drag the marks, or move them with the arrow keys";
  picture.width = whole.x;
  picture.height = whole.y;
  picture.draggable = false;
  frame.append(picture);
  const field = (name) => form.elements.namedItem(name);
  const limit = (value, most) => Math.min(Math.max(value, 0), most - 1);
  const read = (name) => {
    const at = field(name).value.split(",").map(Number);
    return at.length === 2 && at.every(Number.isFinite) ? at : null;
  };
  for (const name of Object.keys(NAMES)) {
    const mark = document.createElement("button");
    mark.type = "button";
    mark.className = "mark mark-" + name;
    mark.textContent = name;
    const move = (x, y) => {
      const at = [Math.round(limit(x, whole.x)), Math.round(limit(y, whole.y))];
      field(name).value = at.join(",");
      mark.style.left = (100 * at[0]) / whole.x + "%";
      mark.style.top = (100 * at[1]) / whole.y + "%";
      mark.setAttribute("aria-label", `${NAMES[name]}: ${at[0]} across, ${at[1]} down`);
    };
    const typed = read(name);
    const start = typed || [START[name][0] * whole.x, START[name][1] * whole.y];
    move(start[0], start[1]);
    field(name).addEventListener("change", () => {
      const at = read(name);
      if (at) move(at[0], at[1]);
    });
    mark.addEventListener("pointerdown", (event) => {
      mark.setPointerCapture(event.pointerId);
      event.preventDefault();
      mark.focus();
    });
    mark.addEventListener("pointermove", (event) => {
      if (!mark.hasPointerCapture(event.pointerId)) return;
      const box = picture.getBoundingClientRect();
      move(((event.clientX - box.left) / box.width) * whole.x, ((event.clientY - box.top) / box.height) * whole.y);
    });
    mark.addEventListener("keydown", (event) => {
      const step = (event.shiftKey ? 0.02 : 0.002) * Math.max(whole.x, whole.y);
      const by = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] }[event.key];
      if (!by) return;
      event.preventDefault();
      const at = read(name);
      move(at[0] + by[0], at[1] + by[1]);
    });
    frame.append(mark);
  }
  place.before(frame);
})();
