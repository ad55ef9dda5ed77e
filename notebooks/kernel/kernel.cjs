// The notebook kernel: the project's own tslab, so that nothing has to be installed for all of the machine.
require("tslab/dist/main.js").startKernel({ configPath: process.argv[2], enableFindLocal: false });
