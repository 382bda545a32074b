import type { Design } from "../../design/index.ts";

export type Told = Pick<Design, "profile" | "defaults">;

/** True where the part file leaves a key ("profile.root diameter") to its default. */
export const leavesOut = ({ defaults }: Pick<Design, "defaults">, key: string): boolean =>
  defaults.some((one) => one.key === key);

/** True where both do. */
export const neitherTells = (both: readonly Pick<Design, "defaults">[], key: string): boolean =>
  both.every((one) => leavesOut(one, key));
