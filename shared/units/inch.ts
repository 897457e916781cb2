/** Millimetres of an inch, exactly. Source: international yard and pound agreement of 1959 (from memory). */
export const mmPerInch = 25.4;
