/** Saves a drawing as it is, or as a picture of twice its size on white. */
export function savePicture(svg: string, kind: "svg" | "png", name: string): void {
  const source = URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" }));
  if (kind === "svg") {
    download(source, `${name}.svg`);
    return;
  }
  const image = new Image();
  image.addEventListener("load", () => {
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [2 * image.width, 2 * image.height];
    const pen = canvas.getContext("2d")!;
    pen.fillStyle = "#fff";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(image, 0, 0, canvas.width, canvas.height);
    URL.revokeObjectURL(source);
    canvas.toBlob((blob) => { if (blob !== null) download(URL.createObjectURL(blob), `${name}.png`); });
  });
  image.src = source;
}

/** Hands a blob to the browser's own way of saving. */
export function download(address: string, name: string): void {
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
