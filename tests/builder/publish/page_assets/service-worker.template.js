const VERSION = "{{version}}";
const FILES = {{files}};
