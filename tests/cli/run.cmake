cmake_minimum_required(VERSION 3.25)
# Runs PROGRAM with ARGUMENTS; both the text EXPECTED and the exit STATUS, a number or several with |
# between, must come out. A failed run must print no result, unless HOLDABLE_PARTIAL is set: then there
# are several, and some are right.
execute_process(COMMAND ${PROGRAM} ${ARGUMENTS} RESULT_VARIABLE status
                OUTPUT_VARIABLE out ERROR_VARIABLE err)
string(FIND "${out}${err}" "${EXPECTED}" at)
if(at EQUAL -1 OR NOT status MATCHES "^(${STATUS})$")
  message(FATAL_ERROR "expected status ${STATUS} and \"${EXPECTED}\"; got ${status} and\n${out}${err}")
endif()
if(NOT status STREQUAL 0 AND NOT status STREQUAL 1 AND NOT out STREQUAL "" AND
   NOT DEFINED ENV{HOLDABLE_PARTIAL})
  message(FATAL_ERROR "a failed run printed a result:\n${out}")
endif()
