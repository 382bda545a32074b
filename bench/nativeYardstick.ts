import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import type { NodeMatrix } from "../src/solver/sparse/index.ts";

/** One thread, truly: see native/cholmod.c. */
const ONE_THREAD = {
  OMP_THREAD_LIMIT: "1",
  OMP_NUM_THREADS: "1",
  OPENBLAS_NUM_THREADS: "1",
  // the BLAS kernel is left to the library's own choice
  OPENBLAS_CORETYPE: undefined,
};

/** Native solvers on one matrix; each `round` runs one of them once and gives the numbers it prints. */
export interface NativeSolver {
  round(): Promise<number[]>;
}

export interface NativeYardstick {
  cholmod(file: string): NativeSolver;
  /** Null where SciPy is not installed. */
  superlu: ((file: string) => NativeSolver) | null;
  /** Writes a matrix where the solvers can read it. */
  write(name: string, matrix: NodeMatrix, rhs: Float64Array): string;
  close(): void;
}

/** Builds the native program in a temporary folder; a sentence where that is not possible. */
export function nativeYardstick(sources: string): NativeYardstick | string {
  const folder = mkdtempSync(join(tmpdir(), "notchwright-bench-"));
  const program = join(folder, "cholmod");
  const libraries = ["-lcholmod", "-lopenblas", "-lm"];
  const built = spawnSync("cc", ["-O2", join(sources, "cholmod.c"), "-o", program, ...libraries]);
  if (built.status !== 0) {
    rmSync(folder, { recursive: true });
    return "CHOLMOD cannot be built here: it needs a C compiler, SuiteSparse and OpenBLAS (Debian: gcc, libsuitesparse-dev, libopenblas-dev)";
  }
  const children: ChildProcess[] = [];
  const solver = (command: string, args: string[]): NativeSolver => {
    const child = spawn(command, args, {
      env: { ...process.env, ...ONE_THREAD },
      stdio: ["pipe", "pipe", "inherit"],
    });
    children.push(child);
    const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
    return {
      async round() {
        child.stdin.write("\n");
        const { value, done } = await lines.next();
        if (done) throw new Error(`${command} ended early`);
        return value.split(" ").map(Number);
      },
    };
  };
  const hasScipy = spawnSync("python3", ["-c", "import scipy.sparse.linalg"]).status === 0;
  return {
    cholmod: (file) => solver(program, [file]),
    superlu: hasScipy ? (file) => solver("python3", [join(sources, "superlu.py"), file]) : null,
    write(name, matrix, rhs) {
      const file = join(folder, `${name}.bin`);
      writeFileSync(file, lowerTriangle(matrix, rhs));
      return file;
    },
    close() {
      for (const child of children) child.stdin?.end();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** The format described in native/cholmod.c. */
function lowerTriangle({ n, colPtr, rowIdx, values }: NodeMatrix, rhs: Float64Array): Uint8Array {
  const entries = 4 * colPtr[n] - n; // a diagonal block keeps three
  const x = new Float64Array(entries);
  const p = new Int32Array(2 * n + 1);
  const i = new Int32Array(entries);
  let at = 0;
  for (let j = 0; j < n; j++) {
    for (let c = 0; c < 2; c++) {
      for (let q = colPtr[j]; q < colPtr[j + 1]; q++) {
        for (let r = rowIdx[q] === j ? c : 0; r < 2; r++) {
          i[at] = 2 * rowIdx[q] + r;
          x[at++] = values[4 * q + 2 * c + r];
        }
      }
      p[2 * j + c + 1] = at;
    }
  }
  return Buffer.concat([Int32Array.of(2 * n, entries), rhs, x, p, i].map((a) => new Uint8Array(a.buffer)));
}
