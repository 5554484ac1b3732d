// How the page says what the server found.

// What is missing is rounded up: cloth that is said to be 12 mm short is no more than that.
export const mm = (x) => `${x < 10 ? Math.ceil(x * 10 - 0.001) / 10 : Math.ceil(x - 0.001)} mm`;

// fit says how a part fits a scrap; longest is how long the part is, which tells
// whether anybody has looked yet.
export function fit(f, longest) {
  if (!f) return "not for it";
  if (f.ok) return "fits";
  if (f.atmost && f.over > longest - 1) return "looking…";
  if (!(f.over > 0)) return "does not fit";
  return (f.atmost ? "at most " : "") + `${mm(f.over)} too large`;
}

export function list(names) {
  if (names.length < 2) return names.join("");
  return names.slice(0, -1).join(", ") + " and " + names.at(-1);
}

// lies says how a part lies where it is.
export function lies(on) {
  const wrong = [];
  if (on.over > 0) wrong.push(`hangs off by ${mm(on.over)}`);
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
  const mm = Math.round(line.at);
  if (line.way === "shoulder") return mm === 0 ? "where the pattern has it" : `moved ${Math.abs(mm)} mm ${mm < 0 ? "back" : "forward"}`;
  if (!straight(line)) return `at ${mm} mm`;
  return `${mm} mm from the ` + [["left", "right"], ["top", "bottom"]][axis(line)][line.dir[axis(line)] < 0 ? 1 : 0];
}

export const range = (line) => line.way === "shoulder" ? `it may go ${Math.floor(-line.from)} mm back and ${Math.floor(line.to)} mm forward` : `it may lie from ${Math.ceil(line.from)} to ${Math.floor(line.to)} mm`;

// summary says of parts how many scraps each fits.
export function summary(parts) {
  return list(parts.map((p) => {
    const n = p.fits.filter((f) => f.ok).length;
    return `${p.name} fits ${n === 0 ? "no scrap" : n === 1 ? "1 scrap" : `${n} scraps`}`;
  }));
}

export const count = (n, one, many) => n === 1 ? `1 ${one}` : `${n} ${many ?? one + "s"}`;
