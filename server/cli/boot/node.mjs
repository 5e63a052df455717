// Imported first by every script that runs before anything is installed: plain Node, no packages.

const [major = 0, minor = 0] = process.versions.node.split('.').map(Number)
if (major < 20 || (major === 20 && minor < 19)) {
  process.stderr.write(`Sunup needs Node 20.19 or newer; this is ${process.versions.node}.\n`)
  process.exit(1)
}
