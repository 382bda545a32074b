/**
 * The matrix is not positive definite: eliminating `node` (in the numbering of the pattern), dof 0 or 1 of it, met
 * `pivot`, where at least `floor` was needed.
 */
export class NotPositiveDefiniteError extends Error {
  override readonly name = "NotPositiveDefiniteError";
  readonly node: number;
  readonly dof: 0 | 1;
  readonly pivot: number;
  readonly floor: number;

  constructor(node: number, dof: 0 | 1, pivot: number, floor: number) {
    const cause = !Number.isFinite(pivot)
      ? "the stiffness holds a value that is no finite number: look for an element of zero size or a material value left out"
      : floor <= 0 && pivot < 0
        ? "the diagonal entry itself is not above zero, as that of every stiffness is: look for an element turned inside out, or a modulus that is zero or negative"
        : "nothing holds this direction: the part, or a piece of it, can still move freely; add a support there, " +
          "or join the piece to the rest";
    super(
      `stiffness matrix not positive definite at node ${node}, dof ${dof} (${dof === 0 ? "first" : "second"} ` +
        `direction): pivot ${pivot}, at least ${floor} needed; ${cause}`,
    );
    this.node = node;
    this.dof = dof;
    this.pivot = pivot;
    this.floor = floor;
  }
}
