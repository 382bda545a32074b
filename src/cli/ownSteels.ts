import { dirname, isAbsolute, join, normalize } from "node:path";
import { DesignError, type Fault, type OwnSteels, readSource } from "../design/index.ts";
import { ownGrades } from "../strength/index.ts";
import { printable } from "./printable.ts";
import { NO_PART_FILE, readInput } from "./readInput.ts";

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
    if (!("text" in input))
      return refuse(
        `"${shown}": ${input.problem}`,
        input.remedy === NO_PART_FILE ? "put the file beside the part file, or mend its name" : input.remedy,
      );
    onText(input.text);
    try {
      const source = readSource(input.text, input.file);
      const { grades, faults } = ownGrades(source.raw);
      const listed = source.has(["steels"]);
      const path = (key: string) =>
        key
          .split(".")
          .slice(listed ? 0 : 1)
          .map((name) => (/^\d+$/.test(name) ? Number(name) : name));
      // people count from one
      const counted = (key: string) => key.replace(/\.(\d+)(?=\.|$)/g, (_, k) => `.${Number(k) + 1}`);
      return {
        grades,
        faults: faults.map((fault) => ({
          ...fault,
          key: counted(fault.key),
          place:
            fault.problem === "unknown key"
              ? source.locateKey(path(fault.key))
              : source.locate(path(fault.key)),
        })),
      };
    } catch (error) {
      if (!(error instanceof DesignError)) throw error;
      // the reader of part files tells of keys that a file of steels has not
      const faults = error.faults.map((fault) => ({
        ...fault,
        key: fault.key || "steels",
        ...(/holds no keys|is empty/.test(fault.problem)
          ? { problem: "the file holds no keys", remedy: 'begin with a line "steels:", the list below it' }
          : {}),
      }));
      return { grades: [], faults };
    }
  };
}
