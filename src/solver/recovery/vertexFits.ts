import type { Problem } from "../problem.ts";
import { elasticity } from "../triangle6.ts";
import { BoundarySides } from "./boundaryRows.ts";
import { DEGREE_BOUNDARY, DEGREE_INSIDE } from "./fieldFit.ts";
import { type FieldFitting, fieldFitting } from "./fieldFitting.ts";
import { elementsRound, type Round, tieNeighbours } from "./neighbours.ts";
import { Patch } from "./patch.ts";

/** A vertex with fewer elements round it takes in those round its neighbours too. */
const PATCH_INSIDE = 5;
const PATCH_BOUNDARY = 6;

/** Fits the field round one vertex after another. */
export class VertexFits {
  readonly round: Round;
  readonly patch: Patch;
  readonly fit: FieldFitting;
  readonly #sides: BoundarySides;
  readonly #twoG: number;

  constructor(problem: Problem, displacement: Float64Array, kind?: "plain") {
    const { mesh, material } = problem;
    const { xy, elements } = mesh;
    const nodes = xy.length / 2;
    const { d11, d12, d33 } = elasticity(material);
    const nu1 = d12 / d11; // ν, or ν/(1 − ν) in plane strain
    this.#twoG = 2 * d33;
    this.round = elementsRound(nodes, elements);
    this.#sides = new BoundarySides(problem, nodes);
    this.fit = fieldFitting((3 - nu1) / (1 + nu1), kind);
    this.patch = new Patch(
      xy,
      elements,
      displacement,
      this.round,
      tieNeighbours(problem, nodes),
      nodes,
      this.fit,
    );
  }

  /** Is the node a corner of elements? Mid-side nodes have no fit of their own. */
  isVertex(node: number): boolean {
    return this.round.ptr[node + 1] > this.round.ptr[node];
  }

  /** Stress of the fit for a displacement of one radius, MPa: what its displacements are divided by. */
  get perRadius(): number {
    return this.#twoG / this.patch.radius;
  }

  /** Fits the field round vertex v, of the highest degree that its patch determines. */
  at(v: number): void {
    const { patch, fit } = this;
    const boundary = this.#sides.free[v] === 1;
    patch.start(v);
    if (patch.count < (boundary ? PATCH_BOUNDARY : PATCH_INSIDE)) patch.grow();
    patch.gatherNodes();
    const known = boundary ? this.#sides.rows(v, patch, fit.known) : 0;
    fit.fit(boundary ? DEGREE_BOUNDARY : DEGREE_INSIDE, patch.points, known, this.perRadius);
  }
}
