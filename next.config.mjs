/** @type {import('next').NextConfig} */
export default {
  reactStrictMode: true,
  poweredByHeader: false,
  devIndicators: false,
  // Types are checked by `tsc --noEmit` over the whole house, once.
  typescript: { ignoreBuildErrors: true },
}
