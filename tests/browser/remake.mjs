// A report with the page's files as they are now around its data, for looking at a change without a build.
// node remake.mjs REPORT.html [OUT.html]
import { readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { bundle } from './bundle.mjs'

const [report, out = report] = process.argv.slice(2)
const root = fileURLToPath(new URL('../..', import.meta.url))
const old = readFileSync(report, 'utf8')
const file = (name) => readFileSync(`${root}/src/report/${name}`, 'utf8')
const part = (begin, end) => (old.includes(begin) ? old.slice(old.indexOf(begin) + begin.length, old.indexOf(end, old.indexOf(begin) + begin.length)) : 'null')
// an atlas's own code stands between the libraries and ours
const code = /<script>("use strict";\s*\/\/[^\n]*\n[\s\S]*?function openAtlas[\s\S]*?)<\/script>/.exec(old)
const scripts = [file('vendor/d3.min.js'), file('vendor/topojson-client.min.js'), ...(code ? [code[1]] : []), bundle(root)]
const parts = {
  style: file('page/style.css'), caution: part('role="note">', '<'), licences: part('<pre>', '</pre>'), land: part('id="land-data">', '</script>'),
  data: part('id="result-data">', '</script>'), atlas: part('id="atlas-data">', '</script>'), scripts: scripts.map((script) => `<script>${script}</script>\n`).join(''),
}
writeFileSync(out, file('page/page.html').replace(/\{\{(\w+)\}\}/g, (_, name) => parts[name]))
