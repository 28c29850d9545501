export function OfficeApp() {
  return <p>office</p>;
}
