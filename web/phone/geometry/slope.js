// Tape slope reduction: the level distance behind a tape held on a slope. Twin of fieldapp/tape/slope.py.

/** The level distance of a taped slope distance, ground metres; null where the ends differ in level by more than it. */
export function levelDistance(slopeM, levelDifferenceM) {
  if (Math.abs(levelDifferenceM) > slopeM) return null;
  return Math.sqrt((slopeM - levelDifferenceM) * (slopeM + levelDifferenceM));
}

/** What a straight tape reads over a level distance between ends that differ in level, ground metres. */
export function slopeDistance(levelM, levelDifferenceM) {
  return Math.sqrt(levelM * levelM + levelDifferenceM * levelDifferenceM);
}
