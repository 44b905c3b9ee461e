export const EXACT = { relative: 1e-12, absolute: 1e-12 };
