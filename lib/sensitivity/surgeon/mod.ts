/** The preference of the surgeon as an instrument. @module */
export { type StudyInstrument, studyInstrument } from "./study-instrument.ts";
export { type PreferenceInstrument, preferenceInstrument } from "./preference-instrument.ts";
