// Tables. Texts from files go through text(), never through html().

// columns: [heading, class, content of a row]
export function table(root, rows, columns, isMarked = () => false) {
  root.selectAll("*").remove();
  const made = root.append("table");
  made.append("thead").append("tr").selectAll("th").data(columns).join("th").attr("scope", "col").attr("class", (column) => column[1]).text((column) => column[0]);
  const lines = made.append("tbody").selectAll("tr").data(rows).join("tr").attr("class", (row) => (isMarked(row) ? "chosen" : null));
  for (const [, kind, content] of columns) lines.append("td").attr("class", kind).text(content);
  return lines;
}
