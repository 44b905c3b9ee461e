export const svg =
  '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 480 240"><style>#a{fill:red}</style>' +
  '<rect x="10" y="10" width="100" height="60" fill="#0072b2"/>' +
  '<g fill="#1b1f24" paint-order="stroke" stroke="#ffffff" stroke-width="5"><text x="20" y="200">' +
  "Alive −4.2 ≥ 5</text></g></svg>";
