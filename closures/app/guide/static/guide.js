// The search of the guide: every word that is typed must stand on a page; those that have it in the title come first.
const search = document.querySelector(".search");
const field = document.getElementById("wanted");
const list = document.getElementById("found");
const count = document.getElementById("count");
const up = search.dataset.up;
search.hidden = false;
const contents = document.querySelector(".sides > nav details");
if (matchMedia("(max-width: 52rem)").matches) contents.open = false;

function weight(page, words) {
  const title = page.title.toLowerCase();
  const text = page.text.toLowerCase();
  if (!words.every((word) => title.includes(word) || text.includes(word))) return 0;
  const said = words.reduce((sum, word) => sum + text.split(word).length - 1, 0);
  return words.filter((word) => title.includes(word)).length * 1000 + said * 100 / (text.length + 1) + 1e-6;
}

function around(page, word) {
  const at = page.text.toLowerCase().indexOf(word);
  if (at < 0) return "";
  const from = Math.max(0, at - 50);
  return (from ? "… " : "") + page.text.slice(from, at + 90) + " …";
}

function look() {
  const words = field.value.toLowerCase().split(/\s+/).filter((word) => word.length > 1);
  list.replaceChildren();
  list.hidden = words.length === 0;
  if (!words.length) { count.textContent = ""; return; }
  const found = GUIDE_WORDS.map((page) => [weight(page, words), page]).filter(([much]) => much > 0)
    .sort((one, other) => other[0] - one[0]).slice(0, 12);
  for (const [, page] of found) {
    const item = document.createElement("li");
    const link = document.createElement("a");
    link.href = up + page.at;
    link.textContent = page.title;
    const said = document.createElement("small");
    said.textContent = around(page, words[0]);
    item.append(link, said);
    list.append(item);
  }
  if (!found.length) {
    const none = document.createElement("li");
    none.textContent = "No page has all of these words.";
    list.append(none);
  }
  count.textContent = found.length + " pages found";
}

field.addEventListener("input", look);
field.addEventListener("keydown", (event) => { if (event.key === "Escape") { field.value = ""; look(); } });
search.addEventListener("submit", (event) => { event.preventDefault(); list.querySelector("a")?.click(); });
