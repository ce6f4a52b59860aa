/** Help: everything that can be said. */
export function Help() {
  return (
    <div class="screen help">
      <h1>Help</h1>
    </div>
  );
}
