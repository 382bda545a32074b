import { dirname, isAbsolute, join, normalize } from "node:path";
import { DesignError, type Fault, type OwnSteels, readSource } from "../design/index.ts";
import { ownGrades } from "../strength/index.ts";
import { printable } from "./printable.ts";
import { readInput } from "./readInput.ts";

/** Reads the steels that `partFile` names, from beside it or below; the text read goes to `onText`, since results rest on it. */
export function ownSteels(partFile: string, onText: (text: string) => void): OwnSteels {
  const refuse = (problem: string, remedy: string) => {
    const faults: Fault[] = [{ key: "steels", problem, remedy }];
    return { grades: [], faults };
  };
  return (name) => {
    const shown = printable(name, 200);
    // a part file from elsewhere must not make the program open what it likes
    if (isAbsolute(name) || normalize(name).startsWith("..") || !/\.(ya?ml|json)$/i.test(name))
      return refuse(
        `"${shown}" is no .yaml or .json file beside the part file or below`,
        "put the file there and give its name, such as our-steels.yaml",
      );
    const input = readInput(join(partFile === "-" ? "." : dirname(partFile), name));
    if (!("text" in input)) return refuse(`"${shown}": ${input.problem}`, input.remedy);
    onText(input.text);
    try {
      const { grades, faults } = ownGrades(readSource(input.text, input.file).raw);
      return {
        grades,
        faults: faults.map((fault) => ({ ...fault, problem: `"${shown}": ${fault.problem}` })),
      };
    } catch (error) {
      if (!(error instanceof DesignError)) throw error;
      return { grades: [], faults: error.faults };
    }
  };
}
