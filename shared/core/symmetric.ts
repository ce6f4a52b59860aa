/** Three-by-three symmetric positive definite matrices, as rows of the lower triangle: a00, a10, a11, a20, a21, a22. */
export type Vector3 = readonly [number, number, number];
export type Symmetric3 = readonly [number, number, number, number, number, number];

export const diagonal = (v: Vector3): Symmetric3 => [v[0], 0, v[1], 0, 0, v[2]];
export const add = (a: Symmetric3, b: Symmetric3): Symmetric3 => [
  a[0] + b[0],
  a[1] + b[1],
  a[2] + b[2],
  a[3] + b[3],
  a[4] + b[4],
  a[5] + b[5],
];
export const plusDiagonal = (a: Symmetric3, v: Vector3): Symmetric3 => [
  a[0] + v[0],
  a[1],
  a[2] + v[1],
  a[3],
  a[4],
  a[5] + v[2],
];
/** `d a d` for the diagonal d of v. */
export const stretched = (a: Symmetric3, v: Vector3): Symmetric3 => [
  a[0] * v[0] * v[0],
  a[1] * v[0] * v[1],
  a[2] * v[1] * v[1],
  a[3] * v[0] * v[2],
  a[4] * v[1] * v[2],
  a[5] * v[2] * v[2],
];
export const scale = (a: Symmetric3, by: number): Symmetric3 => [
  a[0] * by,
  a[1] * by,
  a[2] * by,
  a[3] * by,
  a[4] * by,
  a[5] * by,
];

/** `a v` */
export const times = (a: Symmetric3, v: Vector3): Vector3 => [
  a[0] * v[0] + a[1] * v[1] + a[3] * v[2],
  a[1] * v[0] + a[2] * v[1] + a[4] * v[2],
  a[3] * v[0] + a[4] * v[1] + a[5] * v[2],
];

export const dot = (a: Vector3, b: Vector3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** `v' a v` */
export const quadratic = (a: Symmetric3, v: Vector3): number => dot(v, times(a, v));

export function determinant(a: Symmetric3): number {
  const c0 = a[2] * a[5] - a[4] * a[4];
  const c1 = a[1] * a[5] - a[4] * a[3];
  const c2 = a[1] * a[4] - a[2] * a[3];
  return a[0] * c0 - a[1] * c1 + a[3] * c2;
}

/** Inverse by cofactors; the matrix must be positive definite. */
export function inverse(a: Symmetric3): Symmetric3 {
  const c00 = a[2] * a[5] - a[4] * a[4];
  const c10 = a[4] * a[3] - a[1] * a[5];
  const c20 = a[1] * a[4] - a[2] * a[3];
  const det = a[0] * c00 + a[1] * c10 + a[3] * c20;
  if (!(det > 0)) throw new Error(`not positive definite: ${a.join(' ')}`);
  const by = 1 / det;
  return [
    c00 * by,
    c10 * by,
    (a[0] * a[5] - a[3] * a[3]) * by,
    c20 * by,
    (a[1] * a[3] - a[0] * a[4]) * by,
    (a[0] * a[2] - a[1] * a[1]) * by,
  ];
}

/** `b a b` for symmetric a and b, symmetric. */
export function sandwich(b: Symmetric3, a: Symmetric3): Symmetric3 {
  const r0: Vector3 = [b[0], b[1], b[3]];
  const r1: Vector3 = [b[1], b[2], b[4]];
  const r2: Vector3 = [b[3], b[4], b[5]];
  const a0 = times(a, r0);
  const a1 = times(a, r1);
  const a2 = times(a, r2);
  return [dot(r0, a0), dot(r1, a0), dot(r1, a1), dot(r2, a0), dot(r2, a1), dot(r2, a2)];
}
