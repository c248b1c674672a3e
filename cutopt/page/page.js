// What is laid, row by row. Text from the plan reaches the page as textContent only.

const plan = JSON.parse(at("plan").textContent);
const everyPiece = plan.rows.flatMap((row) => row.pieces);
const rowOf = new Map(plan.rows.flatMap((row, nth) => row.pieces.map((piece) => [piece.id, nth])));
const KEY = `cutopt-laid:${plan.plan}`;
const HAND = "cutopt-hand";
const LONGEST_FILE = 5e6; // bytes
const LONG = 12; // signs of a length that do not fit a small screen in the largest type
const NOT_KEPT =
  "Ticks cannot be kept: this browser lets the page store nothing (a private window or a preview, or it is full). " +
  "They are lost when the page is closed. Save the file under Carry over before that.";

let store = openStore();
let laid = new Set();
let current = 0;
let shown = -1; // the row whose pieces stand on the page
let past = [];
let saved = ""; // address of the file to save

const floor = floorView(at("map"), (piece) => goTo(rowOf.get(piece)));

function at(id) {
  return document.getElementById(id);
}

function make(tag, name, text) {
  const element = document.createElement(tag);
  if (name) element.className = name;
  if (text) element.textContent = text;
  return element;
}

// Keeping what is laid

function openStore() {
  try {
    window.localStorage.setItem(`${KEY}:test`, "1");
    window.localStorage.removeItem(`${KEY}:test`);
    return window.localStorage;
  } catch {
    return null; // refused, or full
  }
}

function keep(key, text) {
  try {
    store?.setItem(key, text);
  } catch {
    store = null;
  }
  tellStorage();
}

function tellStorage() {
  at("kept").hidden = !store;
  at("storage").hidden = Boolean(store);
  at("storage").textContent = store ? "" : NOT_KEPT;
}

/** Return what is laid as the text of a cutopt-laid file. */
function laidFile() {
  const pieces = everyPiece.map((piece) => piece.id).filter((id) => laid.has(id));
  return JSON.stringify({ format: "cutopt-laid", version: 1, title: plan.title, plan: plan.plan, pieces });
}

/** Return the pieces of a cutopt-laid file of this plan, or throw an error that says why not. */
function readLaid(text) {
  const file = parsed(text);
  if (file?.format !== "cutopt-laid") throw new Error("This is no file of what is laid.");
  if (file.version !== 1) throw new Error("That file is of another version: make the page anew.");
  if (file.plan !== plan.plan) throw new Error("That file belongs to another plan. Nothing was changed.");
  if (!Array.isArray(file.pieces) || !file.pieces.every((id) => rowOf.has(id))) {
    throw new Error("That file names pieces that are not in this plan. Nothing was changed.");
  }
  return new Set(file.pieces);
}

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function fromStore() {
  const text = store?.getItem(KEY);
  if (!text) return new Set();
  try {
    return readLaid(text);
  } catch {
    say("What was kept here could not be read: all ticks are off.");
    return new Set();
  }
}

// Changes

function change(pieces) {
  past = [...past.slice(-99), { laid, current }];
  laid = pieces;
  keep(KEY, laidFile());
  say("");
  render();
}

function toggle(ids) {
  const pieces = new Set(laid);
  const on = !ids.every((id) => laid.has(id));
  for (const id of ids) on ? pieces.add(id) : pieces.delete(id);
  change(pieces);
}

function undo() {
  const last = past.pop();
  if (!last) return;
  laid = last.laid;
  current = last.current;
  keep(KEY, laidFile());
  say(`Undone: ${laid.size} of ${everyPiece.length} pieces are laid.`);
  render();
}

function take(text) {
  try {
    const pieces = readLaid(text);
    change(pieces);
    current = firstOpen();
    render();
    say(`Read: ${pieces.size} of ${everyPiece.length} pieces are laid.`);
  } catch (error) {
    say(error.message);
  }
}

function goTo(nth) {
  current = clamp(nth, 0, plan.rows.length - 1);
  say("");
  render();
  floor.centre(idsOf(current));
}

/** Go to a row and bring it into sight. */
function turnTo(nth) {
  goTo(nth);
  at("row").scrollIntoView();
}

const idsOf = (nth) => plan.rows[nth].pieces.map((piece) => piece.id);
const isRowLaid = (nth) => idsOf(nth).every((id) => laid.has(id));

/** Return the piece of this row that is laid next, or all of them where none is left. */
function nextPieces() {
  const open = idsOf(current).find((id) => !laid.has(id));
  return open ? [open] : idsOf(current);
}

function firstOpen() {
  const nth = plan.rows.findIndex((_, row) => !isRowLaid(row));
  return nth < 0 ? plan.rows.length - 1 : nth;
}

// What the page shows

function say(text) {
  at("message").textContent = text;
}

const titleOf = (row) => `Row ${row.name}, ${row.room}`;

function render() {
  renderRow();
  renderProgress();
  renderRests();
  floor.mark("is-laid", laid);
  floor.mark("is-now", idsOf(current));
  at("map").setAttribute("aria-label", `Floor with all pieces; ${titleOf(plan.rows[current])} is marked`);
  renderCarry();
}

function renderRow() {
  const row = plan.rows[current];
  if (shown !== current) {
    shown = current;
    at("row-name").textContent = titleOf(row);
    at("row-size").textContent = row.size;
    at("broken").replaceChildren(...row.broken.map((text) => make("p", "is-warning", `Rule not kept: ${text}`)));
    at("pieces").replaceChildren(...row.pieces.map(pieceCard));
    at("go-to").value = String(current);
    const count = row.pieces.length === 1 ? "1 piece" : `${row.pieces.length} pieces`;
    at("spoken").textContent = `${titleOf(row)}, ${count}${isRowLaid(current) ? ", laid" : ""}`;
  }
  for (const card of at("pieces").children) {
    const isLaid = laid.has(card.dataset.id);
    card.classList.toggle("is-laid", isLaid);
    card.querySelector("button").setAttribute("aria-pressed", String(isLaid));
  }
  at("row-laid").setAttribute("aria-pressed", String(isRowLaid(current)));
  at("previous").setAttribute("aria-disabled", String(current === 0));
  at("next").setAttribute("aria-disabled", String(current === plan.rows.length - 1));
  at("undo").setAttribute("aria-disabled", String(past.length === 0));
}

function pieceCard(piece) {
  const texts = [piece.take, piece.cut, piece.wall, ...(piece.slants ?? []), piece.rest].filter(Boolean);
  const card = make("li", texts.length ? "piece" : "piece is-whole");
  card.dataset.id = piece.id;
  const head = make("div", "head");
  head.append(
    make("p", "name", `${piece.id} ${piece.what}`),
    make("p", piece.length.length > LONG ? "length is-long" : "length", piece.length),
  );
  const plank = make("p", "plank", `Plank ${piece.plank}${piece.part === "whole" ? "" : `, ${piece.part}`}`);
  const told = make("div", "told");
  told.append(...texts.map((text) => make("p", "", capital(text))));
  card.append(head, plank, tickButton(piece), told);
  card.addEventListener("focusin", () => floor.centre([piece.id]));
  return card;
}

const capital = (text) => text[0].toUpperCase() + text.slice(1);

function tickButton(piece) {
  const button = make("button", "tick");
  button.type = "button";
  const mark = make("span", "mark");
  mark.setAttribute("aria-hidden", "true");
  button.append(mark, "Laid", make("span", "unseen", ` ${piece.id}`));
  button.addEventListener("click", () => toggle([piece.id]));
  return button;
}

function renderProgress() {
  const rows = plan.rows.filter((_, nth) => isRowLaid(nth)).length;
  const planks = new Set(everyPiece.filter((piece) => laid.has(piece.id)).map((piece) => piece.plank));
  at("rows-laid").textContent = `${rows} of ${plan.rows.length}`;
  at("planks-opened").textContent = `${planks.size} of ${plan.planks}`;
  for (const option of at("go-to").options) {
    const nth = Number(option.value);
    option.textContent = titleOf(plan.rows[nth]) + (isRowLaid(nth) ? " \u2713" : "");
  }
}

/** A rest waits once the plank has given a piece (a strip: once it was ripped off) and will give another. */
function isWaiting(rest) {
  const given = rest.pieces.filter((id) => laid.has(id)).length;
  return given < rest.pieces.length && (rest.beside ? laid.has(rest.beside) : given > 0);
}

function renderRests() {
  const waiting = plan.rests.filter(isWaiting);
  at("rests").replaceChildren(...waiting.map(restLine));
  at("none-waiting").hidden = waiting.length > 0;
}

function restLine(rest) {
  const given = rest.pieces.filter((id) => laid.has(id)).length;
  const inTurn = rest.pieces.slice(0, given).every((id) => laid.has(id));
  const length = inTurn ? rest.lengths[given] : "";
  const places = rest.places.filter((_, nth) => !laid.has(rest.pieces[nth]));
  const line = make("li");
  const name = capital(rest.name);
  line.append(make("span", "plank", length ? `${name}: ${length}` : name), `for ${places.join(" and ")}`);
  return line;
}

function renderCarry() {
  const text = laidFile();
  at("laid-text").value = text;
  URL.revokeObjectURL(saved);
  saved = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  at("save").href = saved;
}

// What a person does

async function copy() {
  const text = at("laid-text");
  try {
    await navigator.clipboard.writeText(text.value);
    say("Copied.");
  } catch {
    text.select(); // no clipboard for this page: left selected for the person's own copy
    say(document.execCommand("copy") ? "Copied." : "The text is selected: copy it.");
  }
}

async function openFile() {
  const [file] = at("open-file").files;
  if (!file) return;
  if (file.size > LONGEST_FILE) say("This is no file of what is laid.");
  else take(await file.text());
  at("open-file").value = "";
}

function setHand(hand) {
  document.documentElement.dataset.hand = hand;
  at("hand").setAttribute("aria-pressed", String(hand === "left"));
}

function switchHand() {
  const hand = document.documentElement.dataset.hand === "left" ? "right" : "left";
  setHand(hand);
  keep(HAND, hand);
}

function askReset() {
  at("sure-text").textContent = `Take off all ${laid.size} ticks?`;
  at("sure").returnValue = "keep";
  at("sure").showModal();
}

function afterAsking() {
  if (at("sure").returnValue !== "reset") return;
  change(new Set());
  turnTo(0);
  say("All ticks are off. Undo brings them back.");
}

const isTyping = (element) => element.matches("input, textarea, select, summary");

function pressKey(event) {
  if (event.ctrlKey || event.altKey || event.metaKey || isTyping(event.target) || at("sure").open) return;
  const rows = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
  const pieces = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  const buttons = [...at("row").querySelectorAll("button")];
  const focused = buttons.indexOf(document.activeElement);
  if (rows) {
    event.preventDefault();
    turnTo(current + rows);
    at("pieces").querySelector("button").focus();
  } else if (pieces && focused >= 0) {
    event.preventDefault();
    buttons[clamp(focused + pieces, 0, buttons.length - 1)].focus();
  }
}

function listen() {
  const clicks = {
    previous: () => turnTo(current - 1),
    next: () => turnTo(current + 1),
    undo,
    "row-laid": () => toggle(idsOf(current)),
    closer: () => floor.zoom(1.6, floor.placeOf(nextPieces())),
    farther: () => floor.zoom(1 / 1.6),
    "to-row": () => floor.showPieces(nextPieces()),
    "all-floor": () => floor.showAll(),
    copy,
    "read-text": () => take(at("other-text").value),
    reset: askReset,
    hand: switchHand,
  };
  for (const [id, act] of Object.entries(clicks)) at(id).addEventListener("click", act);
  at("go-to").addEventListener("change", () => turnTo(Number(at("go-to").value)));
  at("open-file").addEventListener("change", openFile);
  at("sure").addEventListener("close", afterAsking);
  document.addEventListener("keydown", pressKey);
  window.addEventListener("storage", (event) => event.key === KEY && follow());
}

/** Take over what the same page did in another tab. */
function follow() {
  laid = fromStore();
  render();
}

function start() {
  at("go-to").append(...plan.rows.map((_, nth) => new Option("", String(nth))));
  at("save").download = `cutopt-laid-${plan.plan.slice(0, 8)}.json`;
  laid = fromStore();
  current = firstOpen();
  setHand(store?.getItem(HAND) === "left" ? "left" : "right");
  tellStorage();
  listen();
  for (const element of document.querySelectorAll(".needs-script")) element.hidden = false;
  for (const part of document.querySelectorAll("details")) part.open = false;
  render();
}

start();
