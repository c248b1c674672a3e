"use strict";

// The floor drawing: closer and farther, dragged about, and marked row by row.

const CLOSEST = 40; // how many times the whole floor may be enlarged
const READABLE = 9; // pixels from which a piece's name is shown

/** Return what the page asks of the drawing; `pickPiece` is told the piece that was tapped. */
function floorView(svg, pickPiece) {
  const whole = svg.viewBox.baseVal;
  const all = { x: whole.x, y: whole.y, w: whole.width, h: whole.height };
  let seen = { ...all };
  let moved = false;
  const pointers = new Map();
  const shapes = byPiece(svg);

  function show(box) {
    const w = clamp(box.w, all.w / CLOSEST, all.w);
    const h = (w * all.h) / all.w;
    const x = clamp(box.x + (box.w - w) / 2, all.x, all.x + all.w - w);
    const y = clamp(box.y + (box.h - h) / 2, all.y, all.y + all.h - h);
    seen = { x, y, w, h };
    svg.setAttribute("viewBox", `${x} ${y} ${w} ${h}`);
    svg.classList.toggle("is-close", isClose());
    svg.classList.toggle("has-names", Number(svg.dataset.letters) * pixels() >= READABLE);
  }

  const isClose = () => seen.w < all.w * 0.999;
  const pixels = () => Math.min(svg.clientWidth / seen.w, svg.clientHeight / seen.h);

  /** Enlarge by `times` so that the place `at` (in the drawing) stays where it is. */
  function zoom(times, at = { x: seen.x + seen.w / 2, y: seen.y + seen.h / 2 }) {
    const w = clamp(seen.w / times, all.w / CLOSEST, all.w);
    const share = w / seen.w;
    show({ x: at.x - (at.x - seen.x) * share, y: at.y - (at.y - seen.y) * share, w, h: seen.h * share });
  }

  function pan(dx, dy) {
    show({ ...seen, x: seen.x - dx / pixels(), y: seen.y - dy / pixels() });
  }

  function place(point) {
    const there = new DOMPoint(point.x, point.y).matrixTransform(svg.getScreenCTM().inverse());
    return { x: there.x, y: there.y };
  }

  function press(event) {
    moved = pointers.size > 0;
    pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
  }

  function move(event) {
    const before = pointers.get(event.pointerId);
    if (!before) return;
    const now = { x: event.clientX, y: event.clientY };
    const other = [...pointers].find(([id]) => id !== event.pointerId)?.[1];
    if (!moved && apart(before, now) < 6) return; // a finger is never quite still
    moved = true;
    svg.setPointerCapture(event.pointerId);
    if (other) zoom(apart(now, other) / Math.max(1, apart(before, other)), place(middle(now, other)));
    else if (isClose()) pan(now.x - before.x, now.y - before.y);
    pointers.set(event.pointerId, now);
  }

  function release(event) {
    const piece = event.target.dataset?.piece;
    if (event.type === "pointerup" && pointers.has(event.pointerId) && !moved && piece) pickPiece(piece);
    pointers.delete(event.pointerId);
  }

  function pinchOnPad(event) {
    if (!event.ctrlKey) return; // the wheel alone scrolls the page
    event.preventDefault();
    zoom(Math.exp(-event.deltaY / 100), place({ x: event.clientX, y: event.clientY }));
  }

  /** Return the box round some pieces, in the drawing. */
  function boxOf(pieces) {
    const boxes = pieces.flatMap((id) => shapes.get(id) ?? []).map((shape) => shape.getBBox());
    if (!boxes.length) return null;
    const x = Math.min(...boxes.map((box) => box.x));
    const y = Math.min(...boxes.map((box) => box.y));
    const right = Math.max(...boxes.map((box) => box.x + box.width));
    const low = Math.max(...boxes.map((box) => box.y + box.height));
    return { x, y, w: right - x, h: low - y };
  }

  /** Return the middle of some pieces if it is in sight. */
  function placeOf(pieces) {
    const box = boxOf(pieces);
    if (!box) return undefined;
    const [x, y] = [box.x + box.w / 2, box.y + box.h / 2];
    const inSight = x > seen.x && x < seen.x + seen.w && y > seen.y && y < seen.y + seen.h;
    return inSight ? { x, y } : undefined;
  }

  /** Show the middle of some pieces, so close that their names can be read. */
  function showPieces(pieces) {
    const box = boxOf(pieces);
    if (!box) return;
    const w = (svg.clientWidth * Number(svg.dataset.letters)) / (1.25 * READABLE);
    const h = (w * all.h) / all.w;
    show({ x: box.x + (box.w - w) / 2, y: box.y + (box.h - h) / 2, w, h });
  }

  /** Keep the enlargement and bring some pieces to the middle. */
  function centre(pieces) {
    const box = isClose() ? boxOf(pieces) : null;
    if (box) show({ ...seen, x: box.x + (box.w - seen.w) / 2, y: box.y + (box.h - seen.h) / 2 });
  }

  function mark(name, pieces) {
    for (const shape of svg.querySelectorAll(`.${name}`)) shape.classList.remove(name);
    for (const id of pieces) for (const shape of shapes.get(id) ?? []) shape.classList.add(name);
  }

  svg.addEventListener("pointerdown", press);
  svg.addEventListener("pointermove", move);
  for (const end of ["pointerup", "pointercancel", "pointerleave"]) svg.addEventListener(end, release);
  svg.addEventListener("wheel", pinchOnPad, { passive: false });
  window.addEventListener("resize", () => show(seen));
  show(all);
  return { zoom, mark, centre, placeOf, showPieces, showAll: () => show(all) };
}

function byPiece(svg) {
  const shapes = new Map();
  for (const shape of svg.querySelectorAll("[data-piece]")) {
    const id = shape.dataset.piece;
    shapes.set(id, [...(shapes.get(id) ?? []), shape]);
  }
  return shapes;
}

const clamp = (value, least, most) => Math.max(least, Math.min(most, value));
const apart = (a, b) => Math.hypot(a.x - b.x, a.y - b.y);
const middle = (a, b) => ({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 });
