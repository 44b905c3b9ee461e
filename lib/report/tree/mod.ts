/** Pages and drawings as trees, written out in one place: text cannot become an element. */
export {
  type Attributes,
  type Content,
  type Element,
  type ElementContent,
  elementsOf,
  flat,
  h,
  htmlText,
  type Nodes,
  pageText,
  type Root,
  s,
  svgText,
  textOfTree,
  xmlText,
} from "./tree.ts";
