// How the page says what the server found.
import { bare, length, missing } from "./handunits.js";

// fit says how a part fits a scrap; longest is how long the part is, which tells
// whether anybody has looked yet.
export function fit(f, longest) {
  if (!f) return "not for it";
  if (f.ok) return "fits";
  if (f.atmost && f.over > longest - 1) return "looking…";
  if (!(f.over > 0)) return "does not fit";
  return (f.atmost ? "at most " : "") + `${missing(f.over)} too small`;
}

export function list(names) {
  if (names.length < 2) return names.join("");
  return names.slice(0, -1).join(", ") + " and " + names.at(-1);
}

// lies says how a part lies where it is.
export function lies(on) {
  const wrong = [];
  if (on.over > 0) wrong.push(`hangs off by ${missing(on.over)}`);
  if (on.laps?.length) wrong.push(`laps over ${list(on.laps)}`);
  return wrong.join(", ") || (on.ok === false ? on.why || "does not lie right" : "lies right");
}

export const fine = (on) => !(on.over > 0) && !on.laps?.length && on.ok !== false;

// axis is what the numbers of a line run along: 0 for to the right, 1 for down.
export const axis = (line) => Math.abs(line.dir[0]) > Math.abs(line.dir[1]) ? 0 : 1;

// straight reports whether they run with an edge of the picture.
export const straight = (line) => Math.abs(line.dir[axis(line)]) > 0.999;

// wayName tells ways that run at a slant by the corner that they cut off.
export function wayName(way) {
  if (!way.dir || straight(way)) return way.name;
  return `${way.name.replace(/ \d+$/, "")}, ${way.dir[1] > 0 ? "upper" : "lower"} ${way.dir[0] > 0 ? "left" : "right"}`;
}

export function at(line) {
  if (line.way === "shoulder") return Math.round(line.at) === 0 ? "where the pattern has it" : `moved ${length(Math.abs(line.at))} ${line.at < 0 ? "back" : "forward"}`;
  if (!straight(line)) return `at ${length(line.at)}`;
  return `${length(line.at)} from the ` + [["left", "right"], ["top", "bottom"]][axis(line)][line.dir[axis(line)] < 0 ? 1 : 0];
}

export const range = (line) => line.way === "shoulder" ? `it may go ${length(-line.from, Math.floor)} back and ${length(line.to, Math.floor)} forward` : `it may lie from ${bare(line.from, Math.ceil)} to ${length(line.to, Math.floor)}`;

// summary says of parts how many scraps each fits.
export function summary(parts) {
  return list(parts.map((p) => {
    const n = p.fits.filter((f) => f.ok).length;
    return `${p.name} fits ${n === 0 ? "no scrap" : n === 1 ? "1 scrap" : `${n} scraps`}`;
  }));
}

export const count = (n, one, many) => n === 1 ? `1 ${one}` : `${n} ${many ?? one + "s"}`;
