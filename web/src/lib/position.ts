// A place on the road map, as people paste it: "33.4484, -112.0740". Degrees times ten million inside.

/** Both coordinates of a pasted text; null where it holds none. */
export function position(text: string): { lat_e7: number; lon_e7: number } | null {
  const found = /^\s*(-?\d{1,2}(?:\.\d+)?)\s*[,;\s]\s*(-?\d{1,3}(?:\.\d+)?)\s*$/.exec(text)
  if (!found) return null
  const lat = Number(found[1])
  const lon = Number(found[2])
  if (Math.abs(lat) > 90 || Math.abs(lon) > 180) return null
  return { lat_e7: Math.round(lat * 1e7), lon_e7: Math.round(lon * 1e7) }
}

/** "33.44840, -112.07400"; '' where it is not known. */
export function positionText(lat_e7: number | undefined, lon_e7: number | undefined): string {
  return lat_e7 === undefined || lon_e7 === undefined ? '' : `${(lat_e7 / 1e7).toFixed(5)}, ${(lon_e7 / 1e7).toFixed(5)}`
}
