/** What an effective number is, under every figure and table with such. */
export const effectiveMeans =
  "Effective number at risk: as many patients of equal weight would be as informative as those still followed";
