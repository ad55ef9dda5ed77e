// What AssemblyScript has and its portable types leave out.
declare function inline(target: unknown, name?: unknown, descriptor?: unknown): void;
declare function load<T>(address: usize, offset?: usize): T;
declare function store<T>(address: usize, value: T, offset?: usize): void;
declare const __heap_base: usize;
declare namespace memory {
  function size(): i32;
  function data(bytes: usize): usize;
  function grow(pages: i32): i32;
  function fill(address: usize, value: u8, bytes: usize): void;
}
