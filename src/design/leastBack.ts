/** Metal behind the teeth, as a share of the tooth's height, below which the plane model means nothing. */
export const LEAST_BACK = 0.1;
