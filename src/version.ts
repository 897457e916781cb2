import packageJson from "../package.json" with { type: "json" };

/** Version of the program, kept with every reading it makes. */
export const version: string = packageJson.version;
