// How the page says what the server found.

// What is missing is rounded up: cloth that is said to be 12 mm short is no more than that.
export const mm = (x) => `${x < 10 ? Math.ceil(x * 10 - 0.001) / 10 : Math.ceil(x - 0.001)} mm`;

export function fit(f) {
  if (!f) return "not for it";
  if (f.ok) return "fits";
  if (!(f.over > 0)) return "does not fit";
  return `${mm(f.over)} too large` + (f.atmost ? " or less" : "");
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

export const from = (line) => line.along ? "from the left" : "from the top";

export function at(line) {
  if (line.way === "shoulder" && Math.round(line.at) === 0) return "where the pattern has it";
  if (line.way === "shoulder") return `moved ${Math.round(Math.abs(line.at))} mm ${line.at < 0 ? "back" : "forward"}`;
  return `${Math.round(line.at)} mm ${from(line)}`;
}

// summary says of parts how many scraps each fits.
export function summary(parts) {
  return list(parts.map((p) => {
    const n = p.fits.filter((f) => f.ok).length;
    return `${p.name} fits ${n === 0 ? "no scrap" : n === 1 ? "1 scrap" : `${n} scraps`}`;
  }));
}

export const count = (n, one, many) => n === 1 ? `1 ${one}` : `${n} ${many ?? one + "s"}`;
