// Lengths by hand in the unit that the table was set up with. All are held in mm.

// step and far are what a key moves something by; small, middle and figured are what a
// tape has a short, a longer and a numbered mark at, and tight the same on a small picture.
const units = {
  mm: { one: 1, step: 1, far: 10, tape: { small: 10, middle: 50, figured: 100 }, tight: { small: 50, middle: 50, figured: 100 } },
  cm: { one: 10, step: 1, far: 10, tape: { small: 10, middle: 50, figured: 100 }, tight: { small: 50, middle: 50, figured: 100 } },
  in: { one: 25.4, step: 25.4 / 16, far: 25.4 / 2, tape: { small: 12.7, middle: 25.4, figured: 2 * 25.4 }, tight: { small: 25.4, middle: 5 * 25.4, figured: 10 * 25.4 } },
};

let unit = "mm";

export const unitIs = (name) => { unit = name in units ? name : "mm"; };
export const one = () => units[unit];
export const figure = (mm) => String(Math.round(mm / one().one));

function sixteenths(n) {
  const whole = Math.floor(n / 16);
  let over = n % 16, parts = 16;
  while (over > 0 && over % 2 === 0) [over, parts] = [over / 2, parts / 2];
  return over === 0 ? `${whole}` : whole === 0 ? `${over}/${parts}` : `${whole} ${over}/${parts}`;
}

// bare is a length that is not below nothing, without its unit; round brings it to what a tape measure shows.
export function bare(mm, round = Math.round) {
  if (unit === "in") return sixteenths(round(mm / 25.4 * 16));
  return unit === "cm" ? (round(mm) / 10).toFixed(1) : String(round(mm));
}

export const length = (mm, round) => `${bare(mm, round)} ${unit}`;

// What is missing is rounded up: cloth that is said to be 12 mm short is no more than that.
export const missing = (mm) => unit === "mm" && mm < 10 ? `${Math.ceil(mm * 10 - 0.001) / 10} mm` : length(mm, (x) => Math.ceil(x - 0.001));

// onTape is the place nearest to one that a tape measure shows.
export const onTape = (mm) => Math.round(mm / one().step) * one().step;
