/**
 * The command line: reads the wish, calls, shows. Results go to standard output or files, messages and progress to
 * standard error. Exit codes: 0 done; 1 done, but some cases failed; 2 bad input or usage; 3 internal error.
 */
package org.leiogauge.cli;
