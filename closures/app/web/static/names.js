// The parts of the page by their names.
export const byId = (id) => document.getElementById(id);
export const picture = byId("picture");
export const worn = () => byId("worn");
export const isTyped = (one) => one.matches("textarea, select, input:not([type=radio], [type=range], [type=checkbox])");
