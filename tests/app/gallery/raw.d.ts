/** A file's own text, as the bundler gives it. */
declare module '*.json?raw' {
  const text: string;
  export default text;
}
