// The comb of a photograph, measured against its bar: four corners of a rectangle of known size give the plane in
// which it lies (a homography), and what is drawn in that plane has an area.
//
// Hartley and Zisserman, Multiple View Geometry, give the homography of four points; the area is the shoelace
// formula. What a tap may miss is carried through by differences, and what lies before or behind the plane of the
// bar is told with it.

/** The longest side of a picture over the focal length of a phone's main lens, 24 to 28 mm on 36 (from memory). */
const FOCAL_PARTS = 0.72;

/** How far a comb's face may lie before or behind the face of its bar, in millimetres: half a bar less half a comb. */
const BEHIND_MM = 8;

/** Beyond this the corners of a bar no longer tell its plane well enough; tried up to it. */
export const MOST_TILT_DEG = 30;

/** 90 of 100 lie within so many standard deviations. */
const NINETY = 1.645;

function solved(rows) {
  const n = rows.length;
  for (let column = 0; column < n; column += 1) {
    let best = column;
    for (let row = column + 1; row < n; row += 1) {
      if (Math.abs(rows[row][column]) > Math.abs(rows[best][column])) {
        best = row;
      }
    }
    if (!(Math.abs(rows[best][column]) > 1e-12)) {
      return null;
    }
    [rows[column], rows[best]] = [rows[best], rows[column]];
    for (let row = 0; row < n; row += 1) {
      const factor = row === column ? 0 : rows[row][column] / rows[column][column];
      for (let at = column; factor !== 0 && at <= n; at += 1) {
        rows[row][at] -= factor * rows[column][at];
      }
    }
  }
  return rows.map((row, at) => row[n] / row[at]);
}

/** The homography that takes four points to four others, row by row; null where three lie on a line. */
export function homography(from, to) {
  // Points are taken from their middle and to a common size, so that no equation outweighs another.
  const middle = [0, 1].map((axis) => from.reduce((sum, point) => sum + point[axis], 0) / 4);
  const size = Math.max(...from.flatMap((point) => point.map((value, axis) => Math.abs(value - middle[axis])))) || 1;
  const rows = [];
  from.forEach((point, at) => {
    const [x, y] = [(point[0] - middle[0]) / size, (point[1] - middle[1]) / size];
    const [u, v] = to[at];
    rows.push([x, y, 1, 0, 0, 0, -u * x, -u * y, u]);
    rows.push([0, 0, 0, x, y, 1, -v * x, -v * y, v]);
  });
  const h = solved(rows);
  if (!h) {
    return null;
  }
  const whole = [...h, 1];
  const back = [];
  for (let row = 0; row < 3; row += 1) {
    const [a, b, c] = whole.slice(3 * row, 3 * row + 3);
    back.push(a / size, b / size, c - (a * middle[0] + b * middle[1]) / size);
  }
  return back;
}

/** Where a homography takes a point; null where that is beyond the horizon. */
export function mapped(h, [x, y]) {
  const w = h[6] * x + h[7] * y + h[8];
  return w > 1e-9 ? [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w] : null;
}

/** The area within corners in their order, by the shoelace formula. */
export function areaOf(corners) {
  const twice = corners.reduce((sum, [x, y], at) => {
    const [u, v] = corners[(at + 1) % corners.length];
    return sum + x * v - u * y;
  }, 0);
  return Math.abs(twice) / 2;
}

function rectangle(length, height) {
  return [[0, 0], [length, 0], [length, height], [0, height]];
}

function faceMm2({ corners, outline, length_mm, height_mm }) {
  const h = homography(corners, rectangle(length_mm, height_mm));
  const inPlane = h && outline.map((point) => mapped(h, point));
  return inPlane && inPlane.every(Boolean) ? areaOf(inPlane) : null;
}

const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const norm = (a) => Math.hypot(...a);

/** How far the comb leans away from facing the phone, and how far away it is, for the usual lens of a phone. */
export function pose({ corners, length_mm, height_mm, picture }) {
  const focal = FOCAL_PARTS * Math.max(picture.width, picture.height);
  const h = homography(rectangle(length_mm, height_mm), corners);
  if (!h) {
    return null;
  }
  const column = (at) => {
    const [x, y, w] = [h[at], h[at + 3], h[at + 6]];
    return [(x - w * picture.width / 2) / focal, (y - w * picture.height / 2) / focal, w];
  };
  const [right, down, place] = [column(0), column(1), column(2)];
  // The length of the bar is known far better than its height, so the scale comes from it.
  const scale = norm(right);
  const away = cross(right, down);
  const tilt = Math.acos(Math.min(1, Math.abs(away[2]) / norm(away)));
  return { tilt_deg: (tilt * 180) / Math.PI, away_mm: Math.abs(place[2]) / scale };
}

/** Whether a line of corners crosses itself. */
export function crosses(points) {
  const side = ([a, b], [c, d], [e, f]) => Math.sign((c - a) * (f - b) - (d - b) * (e - a));
  const n = points.length;
  for (let one = 0; one < n; one += 1) {
    for (let other = one + 2; other < n - (one === 0 ? 1 : 0); other += 1) {
      const [a, b, c, d] = [points[one], points[(one + 1) % n], points[other], points[(other + 1) % n]];
      if (side(a, b, c) !== side(a, b, d) && side(c, d, a) !== side(c, d, b)) {
        return true;
      }
    }
  }
  return false;
}

/**
 * One face of the comb. `corners` are those of the bar, from the upper left around, and `outline` those of the comb,
 * in points of the picture; `length_mm` and `height_mm` are the bar's. `slack` is what a tap may miss by, as a
 * standard deviation in points. Gives `{cm2: {lo, value, hi}, tilt_deg, says}` or `{wrong}`, in words.
 */
export function measured({ corners, outline, length_mm, height_mm, picture, slack }) {
  const asked = { corners, outline, length_mm, height_mm, picture };
  if (!(length_mm > 0) || !(height_mm > 0)) {
    return { wrong: "the bar needs a length and a height" };
  }
  if (corners.length !== 4 || outline.length < 3) {
    return { wrong: "four corners of the bar and at least three points of the comb are needed" };
  }
  if (crosses(corners) || crosses(outline)) {
    return { wrong: "the points are not in their order around: a line crosses another" };
  }
  const face = faceMm2(asked);
  const seen = face === null ? null : pose(asked);
  if (face === null || !seen) {
    return { wrong: "the four corners do not make a bar" };
  }
  const miss = slack ?? Math.max(0.5, Math.max(picture.width, picture.height) / 6000);
  let variance = 0;
  for (const of of ["corners", "outline"]) {
    asked[of].forEach((point, at) => {
      for (const axis of [0, 1]) {
        const nudged = asked[of].map((one) => [...one]);
        nudged[at][axis] += 0.5;
        const other = faceMm2({ ...asked, [of]: nudged });
        variance += other === null ? Infinity : ((2 * (other - face) * miss) ** 2);
      }
    });
  }
  const taps = NINETY * Math.sqrt(variance);
  const depth = face * ((2 * BEHIND_MM) / Math.max(seen.away_mm, 4 * BEHIND_MM));
  const half = taps + depth;
  const says = [];
  if (seen.tilt_deg > MOST_TILT_DEG) {
    says.push(`The comb leans away by about ${Math.round(seen.tilt_deg)} degrees; beyond ${MOST_TILT_DEG} this has not been tried. Hold the phone square to the comb.`);
  }
  if (half > 0.15 * face) {
    says.push("The doubt is large: come nearer, and set the corners of the bar with the glass.");
  }
  const cm2 = { lo: Math.max(0, face - half) / 100, value: face / 100, hi: (face + half) / 100 };
  return { cm2, tilt_deg: seen.tilt_deg, away_mm: seen.away_mm, says };
}

/**
 * The honey that so much face would hold full and capped on both sides, in kg: `A · T · 0.92 · 1.42` with the bounds
 * of what is told of full combs, 250 to 486 g/dm², as `reckon::comb::full_comb_g` has it.
 */
export function fullKg(cm2, thickness_mm) {
  if (!(thickness_mm > 0)) {
    return null;
  }
  const kg = (face) => (face * (thickness_mm / 10) * 0.92 * 1.42) / 1000;
  const value = kg(cm2.value);
  return {
    lo: Math.min((cm2.lo / 100) * 0.25, kg(cm2.lo)),
    value,
    hi: Math.max((cm2.hi / 100) * 0.4863, kg(cm2.hi)),
  };
}
