// The geometry of closed lines. A line is a list of corners, each [x, y], or
// [x, y, c0x, c0y, c1x, c1y] where a curve with these control points leads to the
// next. Lengths are mm. Nothing here changes a line in place, and what is not
// touched stays as it was to the last digit.

const lerp = (a, b, t) => a + (b - a) * t;

export const next = (line, i) => (i + 1) % line.length;
export const before = (line, i) => (i + line.length - 1) % line.length;

export function pathData(line) {
  if (line.length === 0) return "";
  const parts = [`M${line[0][0]} ${line[0][1]}`];
  line.forEach((c, i) => {
    const to = line[next(line, i)];
    parts.push(c.length === 6 ? `C${c[2]} ${c[3]} ${c[4]} ${c[5]} ${to[0]} ${to[1]}` : `L${to[0]} ${to[1]}`);
  });
  return parts.join("") + "Z";
}

// moved is a line with one corner at another place; the ends of the curves that meet
// there go with it.
export function moved(line, i, x, y) {
  const dx = x - line[i][0], dy = y - line[i][1], p = before(line, i);
  const out = line.slice();
  out[i] = out[i].length === 6 ? [x, y, line[i][2] + dx, line[i][3] + dy, line[i][4], line[i][5]] : [x, y];
  if (out[p].length === 6) {
    const c = out[p].slice();
    c[4] += dx;
    c[5] += dy;
    out[p] = c;
  }
  return out;
}

export function shifted(line, dx, dy) {
  return line.map((c) => c.map((v, k) => v + (k % 2 ? dy : dx)));
}

// at is the place at t, from 0 to 1, on the way from one corner to the next.
export function at(line, i, t) {
  const c = line[i], to = line[next(line, i)];
  if (c.length === 2) return [lerp(c[0], to[0], t), lerp(c[1], to[1], t)];
  const u = 1 - t;
  return [0, 1].map((k) => u * u * u * c[k] + 3 * u * u * t * c[2 + k] + 3 * u * t * t * c[4 + k] + t * t * t * to[k]);
}

// withCorner puts a corner in, where the line is drawn just as before. It is i + 1.
export function withCorner(line, i, t) {
  const c = line[i], to = line[next(line, i)];
  const mid = at(line, i, t);
  const out = line.slice();
  if (c.length === 2) {
    out.splice(i + 1, 0, mid);
    return out;
  }
  const ab = [], cd = [], abc = [], bcd = [];
  for (const k of [0, 1]) {
    ab[k] = lerp(c[k], c[2 + k], t);
    const bc = lerp(c[2 + k], c[4 + k], t);
    cd[k] = lerp(c[4 + k], to[k], t);
    abc[k] = lerp(ab[k], bc, t);
    bcd[k] = lerp(bc, cd[k], t);
  }
  out[i] = [c[0], c[1], ...ab, ...abc];
  out.splice(i + 1, 0, [...mid, ...bcd, ...cd]);
  return out;
}

// without is a line without one of its corners. Where a curve met it, a curve stays.
export function without(line, i) {
  const p = before(line, i), a = line[p], b = line[i], to = line[next(line, i)];
  const out = line.slice();
  if (a.length === 6 || b.length === 6) {
    const c0 = a.length === 6 ? [a[2], a[3]] : [lerp(a[0], b[0], 1 / 3), lerp(a[1], b[1], 1 / 3)];
    const c1 = b.length === 6 ? [b[4], b[5]] : [lerp(to[0], b[0], 1 / 3), lerp(to[1], b[1], 1 / 3)];
    out[p] = [a[0], a[1], ...c0, ...c1];
  }
  out.splice(i, 1);
  return out;
}

// points is the line as points close enough for the eye and the hand.
export function points(line) {
  const out = [];
  line.forEach((c, i) => {
    const n = c.length === 6 ? 16 : 1;
    for (let k = 0; k < n; k++) out.push(at(line, i, k / n));
  });
  return out;
}

export function inside(line, x, y) {
  const all = points(line);
  let is = false;
  for (let i = 0, j = all.length - 1; i < all.length; j = i++) {
    const [ax, ay] = all[i], [bx, by] = all[j];
    if (ay > y !== by > y && x < ax + (bx - ax) * (y - ay) / (by - ay)) is = !is;
  }
  return is;
}

// nearest is where a line comes nearest to a place: on the way from corner i, at t.
export function nearest(line, x, y) {
  let best = { away: Infinity };
  const look = (i, t) => {
    const q = at(line, i, t), away = Math.hypot(q[0] - x, q[1] - y);
    if (away < best.away) best = { i, t, away };
  };
  line.forEach((c, i) => {
    const to = line[next(line, i)];
    if (c.length === 2) {
      const dx = to[0] - c[0], dy = to[1] - c[1], long = dx * dx + dy * dy;
      look(i, long ? Math.min(1, Math.max(0, ((x - c[0]) * dx + (y - c[1]) * dy) / long)) : 0);
      return;
    }
    for (let k = 0; k <= 24; k++) look(i, k / 24);
  });
  if (best.away < Infinity && line[best.i].length === 6) {
    for (let step = 1 / 48; step > 1e-5; step /= 2) {
      const { i, t } = best;
      look(i, Math.max(0, t - step));
      look(i, Math.min(1, t + step));
    }
  }
  return best;
}

export function nearestCorner(line, x, y) {
  let best = { i: -1, away: Infinity };
  line.forEach((c, i) => {
    const away = Math.hypot(c[0] - x, c[1] - y);
    if (away < best.away) best = { i, away };
  });
  return best;
}

export function box(all) {
  const out = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of all) {
    out[0] = Math.min(out[0], x);
    out[1] = Math.min(out[1], y);
    out[2] = Math.max(out[2], x);
    out[3] = Math.max(out[3], y);
  }
  return out;
}

// The grain is [x0, y0, x1, y1], from where to where; it turns about its middle.
export function grainDeg(g) {
  const deg = Math.atan2(g[3] - g[1], g[2] - g[0]) * 180 / Math.PI - 90;
  return deg <= -180 ? deg + 360 : deg > 180 ? deg - 360 : deg;
}

export function turned(g, deg) {
  const mx = (g[0] + g[2]) / 2, my = (g[1] + g[3]) / 2, half = Math.hypot(g[2] - g[0], g[3] - g[1]) / 2;
  const a = (deg + 90) * Math.PI / 180, dx = half * Math.cos(a), dy = half * Math.sin(a);
  return [mx - dx, my - dy, mx + dx, my + dy];
}

export function fresh(line) {
  const [x0, y0, x1, y1] = box(points(line)), x = (x0 + x1) / 2, y = (y0 + y1) / 2, half = Math.max(3, (y1 - y0) / 4);
  return [x, y - half, x, y + half];
}
