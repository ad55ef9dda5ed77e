/** What `--help` tells. */
export const help: string = `soakstep: what a soakaway does in a storm, stepped through time.

  npm start                         the invented demo sites under data/
  npm start -- <site.json> …        your own sites
  npm start -- sheets <site.json>   sheets for the site: levels, order list, surroundings, safety, the house
  npm start -- filled <site.json> <dips.json>  what a fill test of finished works says
  npm start -- failed <site.json> <dips.json>  what may be wrong with a pit that does not do its work
  npm start -- day <site.json> <day.json>      whether the lid should have run on a day, by the clock
  npm start -- decide <site.json>   every study that the file asks for, on one page
  npm start -- size <site.json>     the smallest works that do what is asked
  npm start -- sweep <site.json>    storms of many durations and return periods
  npm start -- sure <site.json>     how sure the answers are
  npm start -- often <site.json>    how often in the years
  npm start -- --no-wasm …          live pages for browsers that forbid WebAssembly
  npm start -- --version            the version, and what the stepper runs as
  npm start -- --help               this text

Each site file holds the roofs, the settling box, the pit of chambers in stone, the overflow trench, the
emitter, the soil and the groundwater, every quantity with its unit, and the storms to run:

  "storms": [{ "name": "wet day", "pattern": "nrcs-ii", "depth": "3.1 in" },
             { "name": "as recorded", "file": "my-rain.csv" }]

A file of rain is looked for beside the site file: CSV with a header such as "interval end,rain [mm]" (other headers are
explained to it by options beside "file"), or JSON { "name", "source", "hours": [0, 0.5, …], "cumulative_in": [0, 0.1, …] }.
Files are in UTF-8; a file of a site or of dips has 100 MB at most, a CSV record of rain any size.
What is repaired or refused in a record stands in the notes of its storm. data/ has examples, and a schema that editors
complete from.

For each site a table goes to the terminal and a report to out/<name of the site file>.html (<name>-2.html for a second
file of that name), one page in one file that opens in any browser and asks for nothing from outside. The paths are
printed last, one a line.
Exit status 0, or 1 when a site could not be run; its problems are told, and the other sites are still made.
`;
