// web/wasm/mix.c as built by build.mjs: its address.
declare module "mix.wasm" {
  const address: string;
  export default address;
}
