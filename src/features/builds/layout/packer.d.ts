/** The package's plain entry is no module that Node can read by name; its .mjs is, and has the same types. */
declare module 'maxrects-packer/dist/maxrects-packer.mjs' {
  export * from 'maxrects-packer'
}
