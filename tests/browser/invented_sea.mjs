// Writes an invented forecast as NetCDF classic (CDF-1), for looking at the report: a gale about a low off the Channel, calm in
// its eye, with a hole in the open sea where waves are missing from the third step on; with members, three lows that part. Nothing in it was forecast.
// node invented_sea.mjs gale|ensemble FILE.nc
import { writeFileSync } from 'node:fs'

const [kind, file] = process.argv.slice(2)
const members = kind === 'ensemble' ? [0, 1, 2] : null
const lats = Array.from({ length: 16 }, (_, i) => 40 + i), lons = Array.from({ length: 27 }, (_, i) => -28 + i), hours = [0, 6, 12, 18]
const FILL = 1e20

// Wind about a low that moves east, inflow 20 degrees across the isobars; strongest 300 km from the eye.
function wind(lat, lon, hour, member) {
  const centre = [47 + 0.8 * member, -20 + 0.45 * hour + 1.5 * member]
  const [y, x] = [(lat - centre[0]) * 111, (lon - centre[1]) * 111 * Math.cos(lat * Math.PI / 180)]
  const r = Math.hypot(x, y), speed = 27 * (r / 300) * Math.exp(1 - r / 300) + 1
  const turned = Math.atan2(y, x) + Math.PI / 2 + 20 * Math.PI / 180
  const [u, v] = [speed * Math.cos(turned) + 3, speed * Math.sin(turned)]
  return { speed: Math.hypot(u, v), from: (270 - Math.atan2(v, u) * 180 / Math.PI) % 360 }
}

// Waves that grow with the wind over a short fetch (JONSWAP's growth relations, Hasselmann et al. 1973, from memory) and a swell.
function sea(lat, lon, hour, member) {
  const { speed, from } = wind(lat, lon, hour, member)
  const fetch = 9.81 * 350e3 / speed ** 2
  const own = Math.min(0.0016 * Math.sqrt(fetch), 0.243) * speed ** 2 / 9.81, period = Math.min(0.286 * Math.cbrt(fetch), 8.13) * speed / 9.81
  const hole = hour >= 12 && lat >= 50 && lat <= 52 && lon >= -16 && lon <= -13, spain = lat <= 43 && lon >= -9, france = lat >= 43 && lat <= 48 && lon >= -1.5
  const ireland = lat >= 52 && lat <= 55 && lon >= -10 && lon <= -6, england = lat >= 50.5 && lon >= -5
  if (hole || spain || france || ireland || england) return { speed, from, hs: FILL, tp: FILL, dir: FILL }
  const hs = Math.hypot(own, 1.8)
  return { speed, from, hs, tp: (own ** 2 * Math.max(period, 3) + 1.8 ** 2 * 11) / hs ** 2, dir: own > 1.8 ? from : 290 }
}

const at = hours.flatMap((hour) => (members ?? [0]).flatMap((member) => lats.flatMap((lat) => lons.map((lon) => sea(lat, lon, hour, member)))))
const dims = [['time', hours.length], ...(members ? [['number', members.length]] : []), ['lat', lats.length], ['lon', lons.length]]
const over = dims.map(([name]) => name), wave = 'sea_surface_wave_'
const field = (name, standard, unit, values) => ({ name, dims: over, text: { standard_name: standard, units: unit }, fill: FILL, type: 5, values })
const variables = [
  { name: 'time', dims: ['time'], text: { units: 'hours since 2030-03-04 00:00', standard_name: 'time' }, type: 6, values: hours },
  ...(members ? [{ name: 'number', dims: ['number'], text: { standard_name: 'realization' }, type: 4, values: members }] : []),
  { name: 'lat', dims: ['lat'], text: { units: 'degrees_north' }, type: 6, values: lats },
  { name: 'lon', dims: ['lon'], text: { units: 'degrees_east' }, type: 6, values: lons },
  field('hs', `${wave}significant_height`, 'm', at.map((cell) => cell.hs)),
  field('tp', `${wave}period_at_variance_spectral_density_maximum`, 's', at.map((cell) => cell.tp)),
  field('dir', `${wave}from_direction`, 'degree', at.map((cell) => (cell.dir + 360) % 360 || cell.dir)),
  field('ws', 'wind_speed', 'm s-1', at.map((cell) => cell.speed)),
  field('wd', 'wind_from_direction', 'degree', at.map((cell) => (cell.from + 360) % 360)),
]
for (const cell of variables.find(({ name }) => name === 'dir').values.keys()) if (at[cell].dir === FILL) variables.find(({ name }) => name === 'dir').values[cell] = FILL

const int = (value) => { const bytes = Buffer.alloc(4); bytes.writeUInt32BE(value); return bytes }
const padded = (bytes) => Buffer.concat([bytes, Buffer.alloc((4 - bytes.length % 4) % 4)])
const name = (text) => Buffer.concat([int(Buffer.byteLength(text)), padded(Buffer.from(text))])
const SIZES = { 4: 4, 5: 4, 6: 8 }, WRITERS = { 4: 'writeInt32BE', 5: 'writeFloatBE', 6: 'writeDoubleBE' }
function data({ type, values }) {
  const bytes = Buffer.alloc(values.length * SIZES[type])
  values.forEach((value, k) => bytes[WRITERS[type]](value, k * SIZES[type]))
  return bytes
}
function attributes({ text, fill }) {
  const list = Object.entries(text).map(([key, value]) => Buffer.concat([name(key), int(2), name(value)]))
  if (fill) list.push(Buffer.concat([name('_FillValue'), int(5), int(1), data({ type: 5, values: [fill] })]))
  return Buffer.concat([int(12), int(list.length), ...list])
}
function header(begins) {
  return Buffer.concat([Buffer.from('CDF\x01\0\0\0\0', 'latin1'), int(10), int(dims.length), ...dims.flatMap(([key, size]) => [name(key), int(size)]), int(0), int(0),
    int(11), int(variables.length), ...variables.flatMap((variable, k) => [name(variable.name), int(variable.dims.length),
      ...variable.dims.map((dim) => int(dims.findIndex(([key]) => key === dim))), attributes(variable), int(variable.type), int(data(variable).length), int(begins[k])])])
}
const begins = []
let end = header(variables.map(() => 0)).length
for (const variable of variables) { begins.push(end); end += data(variable).length }
writeFileSync(file, Buffer.concat([header(begins), ...variables.map(data)]))
