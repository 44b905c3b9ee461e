export { pageScript } from "./page-script.ts";
