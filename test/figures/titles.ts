export const words = { id: "one", title: "One" };
