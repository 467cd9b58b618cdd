type Named = readonly { seat: string; name: string | null }[];

/** A seat's name, or the seat itself where nothing says who sits there. */
export const nameOf = (seats: Named, seat: string): string =>
  seats.find((s) => s.seat === seat)?.name ?? seat;
