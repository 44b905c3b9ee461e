/** The library's types without its code: what the compiler holds notebooks against. @module */
export { libraryTypes } from "./library-types.ts";
