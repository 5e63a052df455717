/** @type {import('next').NextConfig} */
export default {
  reactStrictMode: true,
  poweredByHeader: false,
  devIndicators: false,
  // Only so that a second build or a development server can stand beside the served one.
  distDir: process.env.SUNUP_DIST ?? '.next',
  // Types are checked by `tsc --noEmit` over the whole house, once.
  typescript: { ignoreBuildErrors: true },
}
