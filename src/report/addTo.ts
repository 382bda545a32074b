/** Puts `value` behind those that a map has under `key`. */
export function addTo<K, V>(map: Map<K, V[]>, key: K, value: V): void {
  const there = map.get(key);
  if (there) there.push(value);
  else map.set(key, [value]);
}
