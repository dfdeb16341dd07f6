/** An optional property: absent rather than undefined. */
export function given<N extends string, T>(
  name: N,
  value: T | undefined,
): { readonly [K in N]?: T } {
  return (value === undefined ? {} : { [name]: value }) as { readonly [K in N]?: T };
}
