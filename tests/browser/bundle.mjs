// The modules of the page as the program bundles them: each in a function of its own, imports become what it returns.
import { readFileSync } from 'node:fs'
import { join } from 'node:path'

// Modules in the order in which they use each other, as src/report/page.rs names them.
export function order(root) {
  const rust = readFileSync(join(root, 'src/report/page.rs'), 'utf8')
  return [...rust.matchAll(/module!\("([a-z_]+)"\)/g)].map((found) => found[1])
}

export function bundled(name, text) {
  const exported = []
  const lines = text.split('\n').map((line) => {
    const from = /^import (\{.*\}) from "\.\/([a-z_]+)\.js";$/.exec(line)
    if (from) return `const ${from[1]} = $${from[2]};`
    const own = /^export ((?:async )?function|const) (?:([A-Za-z_]\w*)|\{ ?(.*?) ?\}|\[(.*?)\])/.exec(line)
    if (!own) return line
    exported.push(...(own[2] ?? own[3] ?? own[4]).split(',').map((part) => part.trim()))
    return line.slice('export '.length)
  })
  return `const $${name} = (() => {\n${lines.join('\n')}\nreturn { ${exported.join(', ')} };\n})();`
}

export function bundle(root) {
  return `"use strict";\n${order(root).map((name) => bundled(name, readFileSync(join(root, 'src/report/page', `${name}.js`), 'utf8'))).join('\n')}`
}
