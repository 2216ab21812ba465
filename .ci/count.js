// Counts of a vitest run, as "passed failed": node .ci/count.js <report.json> <exit code of vitest>
// A file that could not be loaded, an error outside every test, or a report that is not there counts as one failed.
import { readFileSync } from 'node:fs';

const [path, exitCode] = process.argv.slice(2);

function counts() {
  try {
    const { numPassedTests, numFailedTests, testResults } = JSON.parse(readFileSync(path, 'utf8'));
    const unloaded = testResults.filter(
      ({ status, assertionResults }) =>
        status === 'failed' && !assertionResults.some((assertion) => assertion.status === 'failed'),
    );
    return { passed: numPassedTests, failed: numFailedTests + unloaded.length };
  } catch {
    return { passed: 0, failed: 1 };
  }
}

const { passed, failed } = counts();
const broken = exitCode !== '0' || passed === 0;
process.stdout.write(`${passed} ${broken ? Math.max(1, failed) : failed}\n`);
