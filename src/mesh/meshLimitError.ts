/** A mesh that would need more nodes than it may have. */
export class MeshLimitError extends Error {
  override readonly name = "MeshLimitError";
  constructor(most: number) {
    super(
      `mesh: more than ${most} nodes are needed for the size asked; ask for larger elements or a higher maxNodes`,
    );
  }
}
